// What is said: without 3D, without script, on paper, to a screen reader, and back to us.
import { execFileSync } from "node:child_process";
import { existsSync } from "node:fs";
import { copyFile, mkdtemp, readFile, rm, stat, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PNG } from "pngjs";
import { PHONE, browser, colours, job_of, must, open, settled } from "./drive.mjs";

const axe = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
/** Spaces and line ends are the browser's to lay. */
const flat = (text) => text.replace(/[\s\u00ad]+/g, " ").trim();
const has = (text, wanted, where) => must(flat(text).includes(flat(wanted)), `${where} lacks "${flat(wanted).slice(0, 60)}"`);

export async function said(file, check, attack) {
    const folder = await mkdtemp(join(tmpdir(), "rakewell-page-"));
    const with_3d = await browser(true);
    const job = await (async () => {
        const one = await open(with_3d, file, { javaScriptEnabled: false });
        // Script is off for the page, not for who asks.
        const text = await one.page.locator("#job").textContent();
        await one.close();
        return JSON.parse(text);
    })();

    await check("is one file of at most 4 MB", async () => {
        const { size } = await stat(file);
        must(size <= 4_000_000, `${size} bytes`);
        return `${size} bytes`;
    });
    await check("says all that matters without script", async () => {
        const plain = await open(with_3d, file, { javaScriptEnabled: false });
        const { page } = plain;
        must(!(await page.locator("#live").isVisible()), "the live part is seen");
        const text = await page.locator("#plain").innerText();
        has(text, job.title, "the plain part");
        for (const note of job.notes) [note.title, note.text].forEach((one) => has(text, one, "the plain part"));
        for (const ask of job.asks) {
            [ask.question, ...ask.choices.map((one) => one.words)].forEach((one) => has(text, one, "the plain part"));
        }
        for (const line of job.prices?.lines ?? []) has(text, line.amount, "the plain part");
        for (const caution of job.cautions) has(text, caution, "the plain part");
        for (const one of job.pictures) must(await page.locator(`[id="${one.img}"]`).isVisible(), "a picture is missing");
        must(plain.troubles.length === 0, plain.troubles.join("; "));
        await plain.close();
    });
    if (!attack) await check("shows pictures where there is no 3D", () => without_3d(file, job));
    await check("prints: what was found, what is asked, pictures", () => prints(with_3d, file, job, folder));
    for (const [name, more] of attack ? [] : [
        ["on a desk, in light", { colorScheme: "light" }],
        ["on a desk, in dark", { colorScheme: "dark" }],
        ["on a phone, in light", { ...PHONE, colorScheme: "light" }],
        ["on a phone, in dark", { ...PHONE, colorScheme: "dark" }],
    ]) {
        await check(`axe finds nothing ${name}`, () => accessible(with_3d, file, more));
    }
    if (!attack) await check("axe finds nothing in the plain part", () => accessible(with_3d, file, { first: "delete window.atob; JSON.parse = () => null;", plain: true }));
    if (!attack) await check("every ink can be read on every paper", () => inks(with_3d, file));
    // Long odd words are what pushes a page wide.
    await check("needs no sideways scrolling at 320 px, nor at 200 %", async () => {
        for (const viewport of [{ width: 320, height: 640 }, { width: 640, height: 400 }]) {
            const narrow = await open(with_3d, file, { viewport });
            await settled(narrow.page);
            const over = await narrow.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
            must(over <= 0, `${over} px too wide at ${viewport.width}`);
            await narrow.close();
        }
    });
    await check("each thing one jumps to on a phone is clear of the standing picture", () => clear_of_picture(with_3d, file));
    await check("while it loads it says that the picture is coming", async () => {
        const first = "addEventListener('DOMContentLoaded', () => (window.at_first = document.getElementById('caption').textContent))";
        const early = await open(with_3d, file, { first });
        const said = await early.page.evaluate(() => window.at_first);
        if (job.pictures.length === 0) has(said, "on its way", "the page while it loads");
        must(!/no picture/i.test(said) && said !== "", `the page while it loads: ${said}`);
        await early.close();
    });
    const asked = job.asks.findIndex((ask) => ask.settles === "look");
    if (asked >= 0 && !attack) await check("what one hangs up is offered as the answer, and is none before", () => offers(with_3d, file, job, asked));
    await check("answers are kept, saved, read again and given as text", () => decides(with_3d, file, job, folder));
    if (!attack) await check("works where nothing can be kept", async () => {
        const first = "Object.defineProperty(window, 'localStorage', { get() { throw new Error('no'); } })";
        const none = await open(with_3d, file, { first });
        await settled(none.page);
        await none.page.locator("#note").fill("a word");
        has(await none.page.locator("#kept").textContent(), "keeps nothing", "the page");
        must((await none.page.locator("#text").inputValue()).includes("a word"), "the text is not there");
        must(none.troubles.length === 0, none.troubles.join("; "));
        await none.close();
    });
    if (!attack) await check("runs and fetches nothing that is not its own", () => policy(with_3d, file));
    await check("what is written in the data stays text", () => stays_text(with_3d, file, job, attack));
    await with_3d.close();
    await rm(folder, { recursive: true, force: true });
}

async function without_3d(file, job) {
    const flat_browser = await browser(false);
    try {
        const { page, troubles } = await open(flat_browser, file);
        await page.locator("#still").waitFor({ state: "visible", timeout: 90000 });
        has(await page.locator("#still-says").textContent(), "no 3D", "the page");
        must(!(await page.locator("#picture").isVisible()), "an empty canvas is seen");
        if (job.pictures.length === 0) {
            // It was made without any, and says so.
            has(await page.locator("#caption").textContent(), "no picture", "the page");
            return "made without pictures";
        }
        must(await page.locator("#still-picture").isVisible(), "the picture is not seen");
        const shown = () =>
            page.locator("#still-picture").evaluate((img) => ({ src: img.src, wide: img.naturalWidth, alt: img.alt }));
        const first = await shown();
        must(first.wide > 100 && first.alt.length > 5, "the picture is empty or has no words");
        const others = new Set(job.pictures.map((one) => one.look)).size;
        if (others > 1) {
            await page.locator(`#looks-${job.looks.length - 1}`).check({ force: true });
            must((await shown()).src !== first.src, "another finish shows the same picture");
        }
        // The browser's own word that it has no 3D is no fault of the page.
        const other = troubles.filter((one) => !/webgl/i.test(one));
        must(other.length === 0, other.join("; "));
        return `${job.pictures.length} pictures`;
    } finally {
        await flat_browser.close();
    }
}

async function prints(with_3d, file, job, folder) {
    const { page, close } = await open(with_3d, file, { colorScheme: "dark" });
    await settled(page);
    if (job.asks.length > 0) await page.locator("#ask-0-0").check({ force: true });
    await page.locator("#note").fill("Mind the cat, please.");
    await settled(page);
    const pdf = join(folder, "page.pdf");
    await page.pdf({ path: pdf, format: "A4", printBackground: false });
    await close();
    const text = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" });
    const words = flat(text);
    const loose = (wanted) => {
        // What is written from right to left is laid from right to left.
        if (/[\u202a-\u202e\u2066-\u2069\u0590-\u08ff]/.test(wanted)) return;
        // A line of a table may be parted by its columns: each word is looked for.
        for (const word of flat(wanted).split(" ")) must(words.includes(word), `the print lacks "${word}"`);
    };
    for (const note of job.notes) [note.title, note.text].forEach(loose);
    for (const ask of job.asks) [ask.question, ...ask.choices.map((one) => one.words)].forEach(loose);
    [job.title, "Mind the cat, please.", "Signed:"].forEach(loose);
    const pages = Number(/Pages:\s+(\d+)/.exec(execFileSync("pdfinfo", [pdf], { encoding: "utf8" }))[1]);
    must(pages <= 3, `${pages} pages`);
    execFileSync("pdftoppm", ["-r", "40", "-f", "1", "-l", "1", "-png", "-singlefile", pdf, join(folder, "print")]);
    const first = PNG.sync.read(await readFile(join(folder, "print.png")));
    must(colours(first) > 800, `the first page has no picture: ${colours(first)} colours`);
    const [r, g, b] = first.data;
    must(r > 250 && g > 250 && b > 250, "the paper is printed over");
    return `${pages} pages`;
}

async function accessible(with_3d, file, more) {
    const { page, close } = await open(with_3d, file, more);
    if (!more.plain) {
        await settled(page);
        // What is folded away is looked at too.
        await page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = true)));
        await settled(page);
    } else must(await page.locator("#plain").isVisible(), "the plain part is not seen");
    await page.evaluate(await readFile(axe, "utf8"));
    const found = await page.evaluate(() =>
        window.axe.run(document, {
            runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
            resultTypes: ["violations", "incomplete", "passes"],
        }),
    );
    await close();
    const told = found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.target).join(", ")}`);
    must(told.length === 0, told.join("; "));
    const contrast = found.passes.find((one) => one.id === "color-contrast")?.nodes.length ?? 0;
    must(contrast >= (more.plain ? 5 : 30), `contrast was looked at in only ${contrast} places`);
    const unsure = found.incomplete.flatMap((one) => one.nodes.map((node) => `${one.id} ${node.target}`));
    return `${found.passes.length} rules, contrast in ${contrast} places, unsure of ${unsure.length}${unsure.length ? `: ${unsure.slice(0, 4).join(", ")}` : ""}`;
}

/** Contrast by WCAG 2.2: 4.5 for text (1.4.3), 3 for the edge of what is pressed (1.4.11). */
async function inks(with_3d, file) {
    let least = 21;
    for (const colorScheme of ["light", "dark"]) {
        const { page, close } = await open(with_3d, file, { colorScheme });
        const tones = await page.evaluate(() => {
            const style = getComputedStyle(document.documentElement);
            const names = ["paper", "sheet", "card", "pencil", "soft", "chalk", "on-chalk", "edge"];
            return Object.fromEntries(names.map((name) => [name, style.getPropertyValue(`--${name}`).trim()]));
        });
        await close();
        const light = (tone) => {
            const [r, g, b] = [1, 3, 5]
                .map((i) => parseInt(tone.slice(i, i + 2), 16) / 255)
                .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
            return 0.2126 * r + 0.7152 * g + 0.0722 * b;
        };
        const ratio = (a, b) => {
            const [low, high] = [light(tones[a]), light(tones[b])].sort((x, y) => x - y);
            return (high + 0.05) / (low + 0.05);
        };
        const pairs = ["paper", "sheet", "card"].flatMap((on) => ["pencil", "soft", "chalk"].map((ink) => [ink, on, 4.5]));
        pairs.push(["on-chalk", "chalk", 4.5], ["edge", "paper", 3], ["edge", "card", 3]);
        for (const [ink, on, wanted] of pairs) {
            const got = ratio(ink, on);
            if (wanted === 4.5) least = Math.min(least, got);
            must(got >= wanted, `${ink} on ${on} in ${colorScheme}: ${got.toFixed(2)}`);
        }
    }
    return `at least ${least.toFixed(2)} to 1`;
}

/** What has the focus or is jumped to is not hidden (WCAG 2.2, 2.4.11). */
async function clear_of_picture(with_3d, file) {
    const { page, close } = await open(with_3d, file, PHONE);
    await settled(page);
    const told = await page.evaluate(async () => {
        const frame = document.getElementById("frame");
        const all = document.querySelectorAll(".sheet :is(h2, h3, legend, .line, textarea, input, button, summary), .under :is(legend, button, summary, .line, .offcut), #decide");
        const [hidden, looked] = [[], []];
        for (const one of [...all].filter((one) => one.checkVisibility())) {
            // What is as long as the whole form need not move to be seen.
            for (const way of one.id === "decide" ? ["start"] : ["start", "focus"]) {
                document.activeElement.blur();
                scrollTo(0, document.body.scrollHeight);
                if (way === "focus") one.focus();
                else one.scrollIntoView({ block: "start", behavior: "instant" });
                await new Promise(requestAnimationFrame);
                if (way === "focus" && document.activeElement !== one) continue;
                looked.push(way);
                if (one.getBoundingClientRect().top < frame.getBoundingClientRect().bottom - 1) hidden.push(`${way} ${one.localName} ${one.id || one.textContent.slice(0, 20)}`);
            }
        }
        return { hidden, looked: looked.length };
    });
    await close();
    must(told.looked > 20, `only ${told.looked} were looked at`);
    must(told.hidden.length === 0, `under the picture: ${told.hidden.join(", ")}`);
    return `${told.looked}`;
}

async function offers(with_3d, file, job, asked) {
    const { page, troubles, close } = await open(with_3d, file);
    await settled(page);
    const field = page.locator("fieldset.ask").nth(asked);
    const saved = async () => {
        const text = await page.locator("#text").inputValue();
        return JSON.parse(text.slice(text.indexOf("\n{") + 1)).look;
    };
    const before = await saved();
    const other = job.looks.findIndex((look) => look.id !== before && look.id !== job.looks[0].id);
    if (other < 0) return close();
    await page.locator(`#looks-${other}`).check({ force: true });
    must((await saved()) === before, "what hangs is taken for an answer");
    const offer = field.locator(".offer");
    has(await offer.textContent(), job.looks[other].name, "the offer");
    await offer.click();
    must((await saved()) === job.looks[other].id, `the answer is ${await saved()}`);
    must(!(await offer.isVisible()), "it is offered still");
    must(troubles.length === 0, troubles.join("; "));
    return close();
}

async function decides(with_3d, file, job, folder) {
    const { page, context, troubles, close } = await open(with_3d, file);
    await settled(page);
    const wanted = [];
    // What had been answered when the page was made is filled in.
    const before = (ask) => job.answered?.answers.find((one) => one.ask === ask.id);
    for (const [i, ask] of job.asks.entries()) {
        const was = ask.choices.findIndex((one) => one.id === before(ask)?.choice);
        if (was >= 0) must(await page.locator(`#ask-${i}-${was}`).isChecked(), `the answer to "${ask.question}" is not filled in`);
    }
    if (job.answered?.by) must((await page.locator("#by").inputValue()) === job.answered.by, "who answered is not filled in");
    for (const [i, ask] of job.asks.entries()) {
        const last = ask.choices.length - 1;
        if (last < 0) continue;
        await page.locator(`#ask-${i}-${last}`).check({ force: true });
        wanted.push({ ask: ask.id, choice: ask.choices[last].id, note: before(ask)?.note ?? "" });
        if (!ask.settles) continue;
        const all = ask.settles === "look" ? job.looks : job.alternatives;
        const index = all.findIndex((one) => one.id === ask.choices[last].id);
        must(await page.locator(`#${ask.settles === "look" ? "looks" : "alternatives"}-${index}`).isChecked(), "what was decided is not shown");
    }
    if (wanted.length > 0 && wanted[0].ask === job.asks[0].id) {
        if (wanted[0].note === "") await page.locator("fieldset.ask .word summary").first().click();
        await page.locator("#ask-0-note").fill('Gr\u00fc\u00dfe {"braces"}\nand a second line');
        wanted[0].note = 'Gr\u00fc\u00dfe {"braces"}\nand a second line';
    }
    await page.locator("#note").fill("</textarea><script>1</script>");
    await page.locator("#by").fill("Ann O\u2019Hara");
    await page.locator("#on").fill("2026-11-28");
    const settles = (kind) => wanted.find((one) => job.asks.find((ask) => ask.id === one.ask).settles === kind)?.choice ?? null;
    const whole = {
        format: 1,
        made_for: { job: job.job.name, hash: job.job.hash },
        look: settles("look"),
        alternative: settles("alternative"),
        answers: wanted,
        note: "</textarea><script>1</script>",
        by: "Ann O\u2019Hara",
        on: "2026-11-28",
    };
    const same = (got, where) => must(JSON.stringify(got) === JSON.stringify(whole), `${where}: ${JSON.stringify(got)}`);
    const [download] = await Promise.all([page.waitForEvent("download"), page.locator("#save").click()]);
    must(/^answers-[A-Za-z0-9-]+\.json$/.test(download.suggestedFilename()), download.suggestedFilename());
    const saved = join(folder, "answers.json");
    await download.saveAs(saved);
    same(JSON.parse(await readFile(saved, "utf8")), "the file");
    const from_text = (text) => JSON.parse(text.slice(text.indexOf("\n{") + 1, text.lastIndexOf("}") + 1));
    const text = await page.locator("#text").inputValue();
    same(from_text(text), "the text");
    must(/^[\x20-\x7e]*$/.test(text.trim().split("\n").pop()), "the last line is not plain ASCII");
    await context.grantPermissions(["clipboard-read", "clipboard-write"]);
    await page.locator("#copy").click();
    same(from_text(await page.evaluate(() => navigator.clipboard.readText())), "the clipboard");
    await page.reload();
    await settled(page);
    same(from_text(await page.locator("#text").inputValue()), "after the page was opened again");
    must(troubles.length === 0, troubles.join("; "));
    await close();
    const read = await goes_back(file, folder, saved, text, job, wanted);

    const other = await open(with_3d, file);
    await settled(other.page);
    await other.page.locator("#open").setInputFiles(saved);
    await other.page.waitForFunction(() => document.getElementById("kept").textContent.startsWith("Taken up"));
    same(from_text(await other.page.locator("#text").inputValue()), "read again");
    for (const wrong of ["not json", "[]", "null", '{"format":2}', JSON.stringify({ ...whole, made_for: { job: "other", hash: "" } })]) {
        const file_of_it = join(folder, "wrong.json");
        await writeFile(file_of_it, wrong);
        await other.page.evaluate(() => (document.getElementById("kept").textContent = ""));
        await other.page.locator("#open").setInputFiles(file_of_it);
        await other.page.waitForFunction(() => /does not hold|another stair/.test(document.getElementById("kept").textContent));
        same(from_text(await other.page.locator("#text").inputValue()), `after ${wrong.slice(0, 20)}`);
    }
    must(other.troubles.length === 0, other.troubles.join("; "));
    await other.close();
    return `${wanted.length} answers${read}`;
}

/**
 * What was saved and copied is read into a copy of the job by the program itself, where there is one:
 * RAKEWELL names it, and the job lies beside the page, NAME.ron for NAME.html. RAKEWELL_KEEP names a
 * folder in which the file and the text are kept as answers.json and answers.txt.
 */
async function goes_back(file, folder, saved, text, job, wanted) {
    if (process.env.RAKEWELL_KEEP) {
        await copyFile(saved, join(process.env.RAKEWELL_KEEP, "answers.json"));
        await writeFile(join(process.env.RAKEWELL_KEEP, "answers.txt"), text);
    }
    const from = file.replace(/\.html$/, ".ron");
    if (!process.env.RAKEWELL || !existsSync(from)) return "";
    const copy = join(folder, "job.ron");
    await copyFile(from, copy);
    const rakewell = (args, input) => execFileSync(process.env.RAKEWELL, ["answers", copy, ...args], { encoding: "utf8", input, stdio: "pipe" });
    const told = flat(rakewell(["--from", saved]));
    has(told, "Written into", "what the program says of the file");
    for (const one of wanted) {
        const ask = job.asks.find((ask) => ask.id === one.ask);
        has(told, ask.choices.find((choice) => choice.id === one.choice).words, "what the program says of the file");
    }
    const once = await readFile(copy, "utf8");
    // The text says the same as the file: there is nothing new in it.
    has(rakewell(["--from", "-"], text), "has all of it already", "what the program says of the text");
    must((await readFile(copy, "utf8")) === once, "the text changes what the file said");
    has(rakewell([]), `All ${wanted.length} answered.`, "what the job has");
    return ", read into the job by the program";
}

/** The page's own policy: what is tried here a stray script would try. */
async function policy(with_3d, file) {
    const { page, close } = await open(with_3d, file);
    await settled(page);
    const held = await page.evaluate(async () => {
        const told = [];
        document.addEventListener("securitypolicyviolation", (event) => told.push(event.effectiveDirective));
        const attempts = [
            () => (document.body.innerHTML += "<b id=stray>x</b>"),
            () => document.body.append(Object.assign(document.createElement("script"), { src: "data:text/javascript,window.ran=1" })),
            () => document.body.append(Object.assign(document.createElement("img"), { src: "https://127.0.0.1:9/x.png" })),
            () => document.body.append(Object.assign(document.createElement("style"), { textContent: "body{display:none}" })),
            () => fetch("https://127.0.0.1:9/").catch(() => undefined),
            () => document.body.setAttribute("onclick", "window.ran=1"),
        ];
        let thrown = 0;
        for (const attempt of attempts) {
            try {
                await attempt();
            } catch {
                thrown += 1;
            }
        }
        document.body.click();
        await new Promise((done) => setTimeout(done, 200));
        return { told, thrown, ran: window.ran === 1, stray: document.getElementById("stray") !== null };
    });
    await close();
    must(!held.ran && !held.stray, "a stray script ran, or markup was made of text");
    for (const wanted of ["img-src", "connect-src", "style-src-elem"]) must(held.told.includes(wanted), `${wanted} let it through`);
    must(held.thrown >= 2, `only ${held.thrown} refused at once`);
}

async function stays_text(with_3d, file, job, attack) {
    const texts = [];
    const walk = (value, name) => {
        if (typeof value === "string" && !["glb", "src"].includes(name)) texts.push(value);
        else if (value && typeof value === "object") for (const [key, one] of Object.entries(value)) walk(one, key);
    };
    walk(job, "");
    const odd = texts.filter((text) => /<script/i.test(text) || /onerror/i.test(text));
    must(!attack || odd.length >= 5, `the attack has only ${odd.length} strings`);
    for (const more of [{}, { javaScriptEnabled: false }]) {
        const { page, troubles, close } = await open(with_3d, file, more);
        if (more.javaScriptEnabled === undefined) await settled(page);
        const seen = await page.evaluate(() => {
            const all = [...document.querySelectorAll("*")];
            const attributes = all.flatMap((one) => [...one.attributes]);
            return {
                title: document.title,
                heading: document.querySelector("#plain h1").textContent,
                live: document.getElementById("title").textContent,
                scripts: document.scripts.length,
                strange: all.map((one) => one.localName).filter((name) => /^(iframe|object|embed|base|link|svg|video|frame)$/.test(name)),
                handlers: attributes.filter((one) => /^on/i.test(one.name)).map((one) => one.name),
                images: [...document.images].map((one) => one.src).filter((src) => src !== "" && !src.startsWith("data:image/")),
                links: [...document.querySelectorAll("a")].map((one) => one.getAttribute("href")),
                ids: new Set(all.map((one) => one.id).filter(Boolean)).size === all.filter((one) => one.id).length,
                owned: /^OWNED/.test(document.title) || window.owned !== undefined,
            };
        });
        must(flat(seen.title) === flat(job.title), `the title is ${seen.title}`);
        must(flat(seen.heading) === flat(job.title), "the heading is another");
        if (more.javaScriptEnabled === undefined) must(seen.live === job.title, "the live heading is another");
        must(seen.scripts === 3, `${seen.scripts} scripts`);
        must(seen.strange.length === 0, `elements: ${seen.strange.join(", ")}`);
        must(seen.handlers.length === 0, `handlers: ${seen.handlers.join(", ")}`);
        must(seen.images.length === 0, `images: ${seen.images.join(", ")}`);
        must(seen.links.every((href) => href.startsWith("#")), `links: ${seen.links.join(", ")}`);
        must(seen.ids, "two elements have one id");
        must(!seen.owned, "a script of the data ran");
        if (more.javaScriptEnabled === undefined) {
            const live = await page.locator("#live").evaluate((one) => one.textContent);
            for (const note of job.notes) [note.title, note.text].forEach((one) => has(live, one, "the page"));
        }
        must(troubles.length === 0, troubles.join("; "));
        await close();
    }
    return `${odd.length} attack strings`;
}
