// Drives each page in Debian's Chromium and says what holds. Called by run.sh. With CHECKS=WORDS only
// the checks whose names hold those words (a regular expression) are run.
import { seen } from "./seen.mjs";
import { said } from "./said.mjs";

const files = [];
const words = process.argv.slice(2);
for (let i = 0; i < words.length; i += 1) {
    if (words[i] === "--attack") files.push({ file: words[(i += 1)], attack: true });
    else files.push({ file: words[i], attack: false });
}
const only = new RegExp(process.env.CHECKS ?? "");
let [passed, failed] = [0, 0];
for (const { file, attack } of files) {
    console.log(file);
    const check = async (name, hold) => {
        if (!only.test(name)) return;
        const start = Date.now();
        try {
            const told = await hold();
            passed += 1;
            console.log(`  ok    ${name}${told ? ` (${told})` : ""} ${((Date.now() - start) / 1000).toFixed(1)} s`);
        } catch (error) {
            failed += 1;
            console.log(`  FAIL  ${name}: ${error.message.split("\n").slice(0, 3).join(" ")}`);
        }
    };
    await said(file, check, attack);
    // An attack is on what is written; how the stair turns is seen on the others.
    if (!attack) await seen(file, check);
}
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
