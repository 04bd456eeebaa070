// Holds glTF files against the Khronos validator: an error or a warning is a failure.
//
//     node validate.mjs FILE.glb...
import { readFile } from "node:fs/promises";
import validator from "gltf-validator";

const files = process.argv.slice(2);
if (files.length === 0) {
    console.error("node validate.mjs FILE.glb...");
    process.exit(2);
}
let passed = 0;
for (const file of files) {
    const report = await validator.validateBytes(new Uint8Array(await readFile(file)), {
        uri: file,
        maxIssues: 0,
    });
    const { numErrors, numWarnings, numInfos, numHints, messages } = report.issues;
    console.log(
        `${file}: ${numErrors} errors, ${numWarnings} warnings, ${numInfos} infos, ${numHints} hints; ` +
            `${report.info.totalTriangleCount} triangles in ${report.info.drawCallCount} pieces`,
    );
    // Severity 0 is an error, 1 a warning; what is lighter is only told.
    for (const { code, message, pointer, severity } of messages.slice(0, 20)) {
        console.log(`  ${["error", "warning", "info", "hint"][severity]} ${code} at ${pointer}: ${message}`);
    }
    passed += numErrors + numWarnings === 0 ? 1 : 0;
}
console.log(`${passed} passed, ${files.length - passed} failed`);
process.exit(passed === files.length ? 0 : 1);
