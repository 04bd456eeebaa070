// Makes what the page is built from and is not written by hand: three.min.js (three, of npm, with
// only what three.entry.mjs names), its licence, and csp.txt, the page's content security policy
// with the digests of exactly our style and scripts. The same input gives the same bytes.
//
//     node bundle.mjs            writes them into assets/page
//     node bundle.mjs --check    says what is not as it would be written; exit status 1
import { createHash } from "node:crypto";
import { readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const assets = join(here, "../../assets/page");
/** The scripts of the page in the order in which they are joined into {{script}}. */
export const SCRIPTS = ["read.js", "room.js", "eye.js", "pins.js", "decide.js", "paper.js", "page.js"];
/** A page's style, code and 3D together, in bytes. */
const MOST = 1_000_000;

export async function parts() {
    const read = (name) => readFile(join(assets, name), "utf8");
    const script = (await Promise.all(SCRIPTS.map(read))).join("");
    return { html: await read("page.html"), style: await read("page.css"), script };
}

async function bundle() {
    const version = JSON.parse(await readFile(join(here, "node_modules/three/package.json"), "utf8")).version;
    const made = await build({
        entryPoints: [join(here, "three.entry.mjs")],
        absWorkingDir: here,
        banner: { js: `/* three ${version}, MIT, see THREE-LICENSE; tree-shaken and minified. */` },
        bundle: true,
        charset: "ascii",
        format: "iife",
        globalName: "three",
        legalComments: "none",
        logLevel: "error",
        minify: true,
        target: "es2020",
        write: false,
    });
    return made.outputFiles[0].text;
}

function policy(style, scripts) {
    const digest = (text) => `'sha256-${createHash("sha256").update(text, "utf8").digest("base64")}'`;
    return [
        "default-src 'none'",
        `script-src ${scripts.map(digest).join(" ")}`,
        `style-src ${digest(style)}`,
        // Textures within a glTF file are read through addresses of this page's own.
        "img-src data: blob:",
        "connect-src blob:",
        "base-uri 'none'",
        "form-action 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types 'none'",
    ].join("; ");
}

async function main() {
    const three = await bundle();
    const { html, style, script } = await parts();
    const made = {
        "three.min.js": three,
        "THREE-LICENSE": await readFile(join(here, "node_modules/three/LICENSE"), "utf8"),
        "csp.txt": policy(style, [three, script]),
    };
    const inlined = { style, three, script };
    for (const [name, text] of Object.entries(inlined)) {
        // These would end the element, or change how it is read.
        if (/<\/(script|style)|<!--/i.test(text)) throw new Error(`${name} holds what ends its element`);
        if (/\beval\(|new Function\b|innerHTML|\bimport\(/.test(text)) throw new Error(`${name} makes code of text`);
        if (text.includes("\r")) throw new Error(`${name} has line ends that a browser changes`);
    }
    const size = Object.values({ html, ...inlined }).reduce((sum, text) => sum + Buffer.byteLength(text), 0);
    if (size > MOST) throw new Error(`${size} bytes, more than ${MOST}`);
    console.log(`page ${size} bytes, of which 3D ${Buffer.byteLength(three)}`);

    const stale = [];
    for (const [name, text] of Object.entries(made)) {
        const old = await readFile(join(assets, name), "utf8").catch(() => "");
        if (old !== text) stale.push(name);
        if (!process.argv.includes("--check")) await writeFile(join(assets, name), text);
    }
    if (process.argv.includes("--check") && stale.length > 0) {
        console.error(`not as it would be made: ${stale.join(", ")}; run node tests/page/bundle.mjs`);
        process.exit(1);
    }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await main();
