// The numbered pins: a tag on a string, with a bob that hangs at what the note is about.

const KINDS = {
    wall: "Your walls",
    built: "How it is built",
    mind: "To bear in mind",
    care: "Looking after it",
};

/** How high a tag is, how high it hangs above its point, and how far tags keep apart, CSS pixels. */
const [TAG, HIGH, APART] = [28, 56, 36];

/** Writes the list of notes and hangs the pins. `chosen(index)` is called when one is picked. */
function make_pins(job, chosen) {
    const list = by_id("notes");
    const board = by_id("pins");
    const pins = [];
    job.notes.forEach((note, index) => {
        const item = make("li", null, { id: `note-${index}`, tabindex: "-1", class: "note" });
        const head = make("h3");
        const number = make("span", index + 1, { class: "number", "aria-hidden": "true" });
        head.append(number, make("span", note.title));
        const kind = make("p", KINDS[note.kind] ?? KINDS.mind, { class: "kind" });
        const body = make("div", null, { class: "body" });
        body.append(kind, head, make("p", note.text));
        item.append(body);
        list.append(item);
        if (!Array.isArray(note.at)) return;
        const see = make("button", "Show it in the picture", { type: "button", class: "see", hidden: "" });
        see.setAttribute("aria-describedby", `note-${index}-title`);
        head.lastChild.id = `note-${index}-title`;
        see.addEventListener("click", () => chosen(index, false));
        body.append(see);
        const pin = make("button", null, { type: "button", class: "pin", hidden: "" });
        pin.setAttribute("aria-label", `Note ${index + 1}: ${text_of(note.title)}`);
        pin.append(make("span", index + 1, { class: "tag" }), make("span", null, { class: "string" }));
        pin.addEventListener("click", () => chosen(index, true));
        board.append(pin);
        pins.push({ index, pin, see, at: new three.Vector3().fromArray(note.at) });
    });
    by_id("notes-part").hidden = job.notes.length === 0;

    return {
        /** Shows the buttons that need the picture. */
        ready: (is) => pins.forEach((one) => (one.see.hidden = !is)),
        /** Hangs the pins where their points are seen now; at rest it looks what hides them. */
        hang(room, width, height, at_rest) {
            const seen = [];
            for (const one of pins) {
                const place = one.at.clone().project(room.camera);
                const x = ((place.x + 1) / 2) * width;
                const y = ((1 - place.y) / 2) * height;
                const out = place.z > 1 || x < 14 || x > width - 14 || y < TAG + 14 || y > height;
                one.pin.hidden = out;
                if (out) continue;
                // Tags that would lie on one another hang from longer strings.
                let top = Math.max(y - HIGH, 4);
                const over = (other) => Math.abs(other.x - x) < APART && Math.abs(other.top - top) < APART;
                while (seen.some(over) && top > 4) top -= 4;
                seen.push({ x, top });
                one.pin.style.transform = `translate(${x.toFixed(1)}px, ${top.toFixed(1)}px)`;
                one.pin.style.setProperty("--string", `${(y - top - TAG).toFixed(1)}px`);
                if (at_rest) one.pin.classList.toggle("behind", room.hides(one.at));
            }
        },
        hide: () => pins.forEach((one) => (one.pin.hidden = true)),
        /** Marks one as picked. */
        pick(index) {
            for (const one of pins) one.pin.classList.toggle("picked", one.index === index);
            job.notes.forEach((_, i) => by_id(`note-${i}`).classList.toggle("picked", i === index));
        },
    };
}
