// Helps for driving the page: a browser, a page with the network off, pictures and how they differ.
import { execFileSync } from "node:child_process";
import { pathToFileURL } from "node:url";
import { resolve } from "node:path";
import { chromium } from "playwright-core";
import { PNG } from "pngjs";

const CHROMIUM = process.env.CHROMIUM ?? execFileSync("sh", ["-c", "command -v chromium"], { encoding: "utf8" }).trim();
export const DESK = { viewport: { width: 1280, height: 800 } };
export const PHONE = { viewport: { width: 390, height: 844 }, isMobile: true, hasTouch: true, deviceScaleFactor: 1 };

/** A browser that draws in software, or one that has no 3D at all. */
export function browser(with_3d) {
    const drawing = with_3d
        ? ["--use-angle=swiftshader", "--enable-unsafe-swiftshader", "--ignore-gpu-blocklist"]
        : ["--disable-gpu", "--disable-3d-apis"];
    return chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", ...drawing] });
}

/** A page opened from disk. Whatever it complains of or asks the network for is in `troubles`. */
export async function open(from, file, more = {}) {
    const context = await from.newContext({
        ...DESK,
        reducedMotion: "reduce",
        acceptDownloads: true,
        ...more,
        offline: true,
    });
    // A busy machine is slow, not wrong.
    context.setDefaultTimeout(90000);
    const page = await context.newPage();
    const troubles = [];
    page.on("console", (message) => {
        if (["error", "warning"].includes(message.type())) troubles.push(`${message.type()}: ${message.text()}`);
    });
    page.on("pageerror", (error) => troubles.push(`thrown: ${error.message}`));
    page.on("request", (request) => {
        const own = request.url() === url || /^(data|blob):/.test(request.url());
        if (!own) troubles.push(`asked for ${request.url()}`);
    });
    const url = pathToFileURL(resolve(file)).href;
    if (more.first) await page.addInitScript(more.first);
    await page.goto(url);
    return { page, context, troubles, close: () => context.close() };
}

/** Waits until a frame is drawn and neither another nor a model is on its way. */
export async function settled(page) {
    // What was asked for just now begins with the next frame, which on a busy machine is late.
    await page.evaluate(async () => {
        window.last_frames = undefined;
        for (let i = 0; i < 2; i += 1) await new Promise(requestAnimationFrame);
    });
    await page.waitForFunction(
        () => {
            const canvas = document.getElementById("picture");
            const now = canvas.dataset.frames;
            const still = canvas.dataset.moving === "false" && canvas.dataset.loading !== "true" && now > 0 && now === window.last_frames;
            window.last_frames = now;
            return still;
        },
        null,
        { polling: 250, timeout: 90000 },
    );
}

/** What the canvas shows, without what lies over it: words that change must not count. */
export async function picture(page) {
    await settled(page);
    const over = (seen) =>
        page.evaluate((how) => {
            for (const id of ["pins", "caption"]) document.getElementById(id).style.visibility = how;
            // Nor must the ring round what has the focus, or where on the screen the frame lies.
            document.getElementById("picture").style.outline = how === "" ? "" : "none";
            scrollTo(0, 0);
        }, seen);
    await over("hidden");
    const shot = await page.locator("#frame").screenshot({ animations: "disabled" });
    await over("");
    return PNG.sync.read(shot);
}

/** The share of the dots that differ to the eye. */
export function difference(a, b) {
    if (a.width !== b.width || a.height !== b.height) return 1;
    let apart = 0;
    for (let i = 0; i < a.data.length; i += 4) {
        const most = Math.max(...[0, 1, 2].map((k) => Math.abs(a.data[i + k] - b.data[i + k])));
        if (most > 8) apart += 1;
    }
    return apart / (a.width * a.height);
}

/** How many colours a picture has: a blank one has few. */
export function colours(image) {
    const seen = new Set();
    for (let i = 0; i < image.data.length; i += 4) seen.add(image.data.readUIntBE(i, 3));
    return seen.size;
}

export const job_of = (page) => page.evaluate(() => JSON.parse(document.getElementById("job").textContent));

export function must(holds, said) {
    if (!holds) throw new Error(said);
}
/** Two pictures that must be apart: some part of what is drawn, not a stray dot. */
export function must_differ(a, b, said, least = 0.01) {
    const share = difference(a, b);
    must(share >= least, `${said}: only ${(100 * share).toFixed(3)} % of the dots differ`);
    return share;
}
export function must_agree(a, b, said) {
    const share = difference(a, b);
    must(share <= 0.0005, `${said}: ${(100 * share).toFixed(3)} % of the dots differ`);
}
