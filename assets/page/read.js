"use strict";
// What the page is given, read with care, and small helps for building it.
//
// The data is JSON in <script type="application/json" id="job">, with "<", ">", "&", U+2028 and
// U+2029 written as \uXXXX. Every length is in metres, y up, as in the glTF files. Every text is
// plain text, whatever is in it. Fields:
//
//   format        1
//   title         text         heading of the page
//   job           {name, hash} texts: what was made, and in which state of the job
//   alternatives  [{id, name, says, glb}]  at least one; glb is base64 of a binary glTF file whose
//                 nodes are named as the parts and carry extras {kind, says}; kind "wall" is
//                 hidden where it stands between the eye and the stair
//   looks         [{id, name, says, light, wall, floor, swatch}]  name is that of a
//                 KHR_materials_variants variant in every glb; light "Day" or "Evening"; wall and
//                 floor "#rrggbb", of the paper round the stair and the ground that it stands on;
//                 swatch ["#rrggbb"...], may be missing: what is seen most first
//   views         [{id, name, eye [x,y,z], target [x,y,z], fov_deg}]  at least one; the angle is
//                 from top to bottom in a picture of 4:3, and is widened in a narrower one
//   notes         [{id, kind, title, text, at}]  kind "wall", "built", "mind" or "care"; at
//                 [x,y,z] or null: where its numbered pin hangs
//   asks          [{id, question, says, choices [{id, words}], settles}]  settles "look",
//                 "alternative" or null: then the ids of the choices are those of the looks or
//                 alternatives, and choosing one shows it; says may be ""
//   answered      null or {answers [{ask, choice, note}], note, by}  what was answered when the page was
//                 made, as decide.js writes it: it is filled in
//   prices        null or {currency, lines [{words, amount}], total, says}  amounts are texts, as
//                 they are to be read
//   pictures      [{alternative, look, view, alt, img}]  ids, or null where it does not matter; img
//                 is the id of an <img> in the plain part (a data: URL), which so is there once
//   cautions      [text...]
//   made          {by, version}
//
// The plain part is the page without script, and the page on paper. The program writes it:
//
//   <header><h1>title</h1></header>
//   <section class="p-pictures"><figure><img id="picture-0" alt="..." src="data:image/...">
//     <figcaption>...</figcaption></figure>...</section>
//   <section class="p-notes"><h2>...</h2><ol><li><h3>title</h3><p>text</p></li>...</ol></section>
//   <section class="p-asks"><h2>...</h2><ol><li data-ask="id"><h3>question</h3><p>says</p>
//     <ul><li data-choice="id">words</li>...</ul></li>...</ol></section>
//   <section class="p-prices"><h2>...</h2><table>...</table><p>says</p></section>
//   <section class="p-cautions"><h2>...</h2><ul><li>...</li></ul></section>
//
// What comes back, as a file and at the end of a text: see decide.js.

/** The data, or null where it cannot be read. */
function read_job() {
    try {
        const job = JSON.parse(document.getElementById("job").textContent);
        const whole =
            job.format === 1 &&
            [job.alternatives, job.looks, job.views].every((some) => Array.isArray(some) && some.length > 0);
        if (!whole) return null;
        for (const some of ["notes", "asks", "pictures", "cautions"]) {
            if (!Array.isArray(job[some])) job[some] = [];
        }
        return job;
    } catch {
        return null;
    }
}

const by_id = (id) => document.getElementById(id);
const text_of = (said) => (said === null || said === undefined ? "" : String(said));
/** A text as it begins a sentence. */
const capital = (said) => text_of(said).replace(/^./u, (letter) => letter.toLocaleUpperCase());
/** A colour if it is one, else the other. */
const colour_of = (said, other) => (/^#[0-9a-f]{6}$/i.test(text_of(said)) ? said : other);

/** An element with text in it. Text is only ever set as text. */
function make(tag, said, more = {}) {
    const made = document.createElement(tag);
    if (said !== undefined && said !== null) {
        made.textContent = text_of(said);
        made.dir = "auto";
    }
    for (const [name, value] of Object.entries(more)) made.setAttribute(name, value);
    return made;
}

/** The bytes of a base64 text. */
function bytes_of(base64) {
    const raw = atob(base64);
    const bytes = new Uint8Array(raw.length);
    for (let i = 0; i < raw.length; i += 1) bytes[i] = raw.charCodeAt(i);
    return bytes.buffer;
}

/** Whether the reader wants things not to move by themselves. */
const wants_calm = () => matchMedia("(prefers-reduced-motion: reduce)").matches;

/** The picture that fits best what is shown: its alternative first, then its look, then its view. */
function best_picture(job, shown) {
    const worth = (picture) => {
        const fits = (name) => (picture[name] === null ? 0.5 : picture[name] === shown[name] ? 1 : 0);
        return 4 * fits("alternative") + 2 * fits("look") + fits("view");
    };
    let best = null;
    for (const picture of job.pictures) {
        const source = by_id(text_of(picture.img));
        if (!(source instanceof HTMLImageElement)) continue;
        if (!/^data:image\/(png|jpeg|webp);base64,/.test(source.src)) continue;
        if (best === null || worth(picture) > worth(best)) best = picture;
    }
    return best;
}
