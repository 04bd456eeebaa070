// Holds glTF files against the Khronos validator: an error or a warning is a failure. Of a page, the
// models within it.
//
//     node validate.mjs FILE.glb|FILE.html...
import { readFile } from "node:fs/promises";
import validator from "gltf-validator";

const files = process.argv.slice(2);
if (files.length === 0) {
    console.error("node validate.mjs FILE.glb|FILE.html...");
    process.exit(2);
}
/** The models of a file, each with its name. */
async function models(file) {
    const bytes = await readFile(file);
    if (!file.endsWith(".html")) return [{ name: file, bytes }];
    const data = /<script type="application\/json" id="job">(.*?)<\/script>/s.exec(bytes.toString("utf8"))[1];
    return JSON.parse(data).alternatives.map((one) => ({ name: `${file}, ${one.name}`, bytes: Buffer.from(one.glb, "base64") }));
}

const all = (await Promise.all(files.map(models))).flat();
let passed = 0;
for (const { name, bytes } of all) {
    const report = await validator.validateBytes(new Uint8Array(bytes), { uri: name, maxIssues: 0 });
    const { numErrors, numWarnings, numInfos, numHints, messages } = report.issues;
    console.log(
        `${name}: ${numErrors} errors, ${numWarnings} warnings, ${numInfos} infos, ${numHints} hints; ` +
            `${report.info.totalTriangleCount} triangles in ${report.info.drawCallCount} pieces`,
    );
    // Severity 0 is an error, 1 a warning; what is lighter is only told.
    for (const { code, message, pointer, severity } of messages.slice(0, 20)) {
        console.log(`  ${["error", "warning", "info", "hint"][severity]} ${code} at ${pointer}: ${message}`);
    }
    passed += numErrors + numWarnings === 0 ? 1 : 0;
}
console.log(`${passed} passed, ${all.length - passed} failed`);
process.exit(passed === all.length ? 0 : 1);
