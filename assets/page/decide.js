// What the client decides: the form, how it is kept, and how it goes back.
//
// A file holds {format: 1, made_for: {job, hash}, look, alternative, answers: [{ask, choice, note}],
// note, by, on}. Ids are those of the data; look and alternative are what was decided where an
// asking settles them, else null: to look at something is not to decide it. An asking that has
// neither choice nor note is left out; choice is null where there is only a note. `on` is
// YYYY-MM-DD, or "". The text says the same in words, then as one line of JSON in plain ASCII, from
// the only "{" that begins a line to the last "}".

const MAX_NOTE = 4000;

/**
 * Builds the form. `settled(kind, id)` is called when an answer decides what is shown; `shown()` gives the
 * ids of what is shown now.
 */
function make_decisions(job, settled, shown) {
    const store = `rakewell ${text_of(job.job?.name)} ${text_of(job.job?.hash)}`;
    const asks = job.asks.map((ask, index) => ask_field(ask, index, changed, settled));
    const [note, by, on] = ["note", "by", "on"].map(by_id);
    if (asks.length === 0) by_id("decide-title").textContent = "Tell us";

    function read() {
        const answers = asks.map((ask) => ask.read()).filter((one) => one.choice !== null || one.note !== "");
        const decided = (kind) => {
            const asked = job.asks.filter((ask) => ask.settles === kind).map((ask) => ask.id);
            return answers.find((one) => asked.includes(one.ask))?.choice ?? null;
        };
        return {
            format: 1,
            made_for: { job: text_of(job.job?.name), hash: text_of(job.job?.hash) },
            look: decided("look"),
            alternative: decided("alternative"),
            answers,
            note: note.value.trim(),
            by: by.value.trim(),
            on: on.value,
        };
    }

    /** Puts what was saved back into the form. */
    function write(saved) {
        const given = Array.isArray(saved.answers) ? saved.answers : [];
        for (const ask of asks) ask.write(given.find((one) => one && one.ask === ask.id) ?? {});
        note.value = text_of(saved.note).slice(0, MAX_NOTE);
        by.value = text_of(saved.by).slice(0, 200);
        on.value = text_of(saved.on);
    }

    /** The same in words, with the line that the program reads at the end. */
    function words(saved) {
        // Braces belong to the last line alone.
        const plain = (said) => text_of(said).replace(/\{/g, "(").replace(/\}/g, ")");
        const lines = [`Answers for ${plain(job.title)}`, ""];
        job.asks.forEach((ask) => {
            const answer = saved.answers.find((one) => one.ask === ask.id);
            const choice = ask.choices.find((one) => one.id === answer?.choice);
            lines.push(plain(ask.question), `    ${choice ? plain(choice.words) : "(not decided)"}`);
            if (answer?.note) lines.push(`    ${plain(answer.note).replace(/\n/g, "\n    ")}`);
        });
        if (saved.note) lines.push("", plain(saved.note));
        lines.push("", `${plain(saved.by) || "(no name)"}, ${plain(saved.on) || "(no date)"}`, "");
        lines.push("The line below is for the carpenter's program; please leave it as it is.");
        return `${lines.join("\n")}\n${ascii(JSON.stringify(saved))}\n`;
    }

    function changed() {
        const now = read();
        by_id("text").value = words(now);
        try {
            localStorage.setItem(store, JSON.stringify(now));
            by_id("kept").textContent = "Kept in this browser as you go.";
        } catch {
            by_id("kept").textContent = "This browser keeps nothing: save or copy before you close the page.";
        }
    }

    /** Takes up a file that was saved before; says what is wrong with another. */
    async function take_up(file) {
        const say = (said) => (by_id("kept").textContent = said);
        let saved;
        try {
            if (file.size > 1e6) throw new Error("too large");
            saved = JSON.parse(await file.text());
        } catch {
            return say("That file does not hold answers from this page.");
        }
        if (saved?.format !== 1 || !saved.made_for) return say("That file does not hold answers from this page.");
        if (saved.made_for.job !== text_of(job.job?.name)) return say("Those answers are for another stair.");
        write(saved);
        changed();
        const same = saved.made_for.hash === text_of(job.job?.hash);
        return say(same ? "Taken up where you left off." : "Taken up; the drawing has changed since, so please read them again.");
    }

    /** What was kept here the last time; else what had been answered when the page was made. */
    function before() {
        try {
            const kept = JSON.parse(localStorage.getItem(store));
            if (kept) return kept;
        } catch {
            // Nothing was kept, or nothing may be.
        }
        return job.answered ?? {};
    }

    const begun = before();
    write(begun);
    on.value ||= today();
    changed();
    by_id("kept").textContent = begun === job.answered ? "What you told us so far is filled in." : "";

    by_id("answers").addEventListener("input", (event) => event.target.id !== "open" && changed());
    by_id("answers").addEventListener("submit", (event) => event.preventDefault());
    by_id("save").addEventListener("click", () => save_file(read(), job));
    by_id("copy").addEventListener("click", copy_text);
    by_id("open").addEventListener("change", (event) => {
        if (event.target.files[0]) take_up(event.target.files[0]);
        event.target.value = "";
    });
    if (navigator.share) {
        by_id("share").hidden = false;
        by_id("share").addEventListener("click", () => {
            navigator.share({ title: text_of(job.title), text: by_id("text").value }).catch(() => undefined);
        });
    }
    // What was kept from the last time is shown again.
    asks.forEach((ask) => ask.settle());
    const hung = () => asks.forEach((ask) => ask.hung(shown()));
    hung();
    /** `hung` is to be called when something else is shown. */
    return { read, hung };
}

/** How what is shown is offered as the answer. */
const OFFERS = {
    look: (name) => `You have ${name} hanging: choose it`,
    alternative: (name) => `The picture shows “${name}”: choose it`,
};

/** One asking: its choices, an offer to take what is shown, and a line to write on. */
function ask_field(ask, index, changed, settled) {
    const field = make("fieldset", null, { class: "ask" });
    field.append(make("legend", ask.question));
    if (ask.says) field.append(make("p", ask.says));
    const lines = make("div", null, { class: "lines" });
    const radios = ask.choices.map((choice, i) => {
        const { label, radio } = tick_line(`ask-${index}`, `ask-${index}-${i}`, choice.words, "");
        lines.append(label);
        return radio;
    });
    const chosen_now = () => radios.findIndex((radio) => radio.checked);
    const settle = () => {
        const chosen = chosen_now();
        if (chosen >= 0 && ask.settles) settled(ask.settles, ask.choices[chosen].id);
    };
    lines.addEventListener("change", () => {
        tidy();
        settle();
    });
    // To hang a finish up is not to choose it: what hangs is offered beside the question.
    const offer = make("button", null, { type: "button", class: "see offer", dir: "auto" });
    let hangs = -1;
    const hung = (ids) => {
        hangs = ask.choices.findIndex((one) => one.id === ids[ask.settles]);
        tidy();
    };
    offer.addEventListener("click", () => {
        const radio = radios[hangs];
        if (!radio) return;
        radio.checked = true;
        radio.focus();
        tidy();
        settle();
        changed();
    });
    const note = make("textarea", null, { id: `ask-${index}-note`, rows: "2", maxlength: MAX_NOTE });
    const line = make("details", null, { class: "word" });
    const field_of_note = make("p", null, { class: "field" });
    field_of_note.append(make("label", "Your word on it", { for: note.id }), note);
    line.append(make("summary", "Add a word"), field_of_note);
    const clear = make("button", "Leave it open", { type: "button", class: "quiet" });
    const tidy = () => {
        const chosen = chosen_now();
        clear.hidden = chosen < 0;
        offer.hidden = hangs < 0 || hangs === chosen;
        if (!offer.hidden) offer.textContent = OFFERS[ask.settles](text_of(ask.choices[hangs].words));
    };
    clear.addEventListener("click", () => {
        for (const radio of radios) radio.checked = false;
        tidy();
        changed();
        radios[0]?.focus();
    });
    tidy();
    field.append(lines, offer, line, clear);
    by_id("asks").append(field);
    return {
        id: ask.id,
        settle,
        hung,
        read: () => ({
            ask: ask.id,
            choice: ask.choices[chosen_now()]?.id ?? null,
            note: note.value.trim(),
        }),
        write: (saved) => {
            radios.forEach((radio, i) => (radio.checked = ask.choices[i].id === saved.choice));
            note.value = text_of(saved.note).slice(0, MAX_NOTE);
            line.open = note.value !== "";
            tidy();
        },
    };
}

/** A radio button that looks like a line with a ring to fill. */
function tick_line(group, id, name, says) {
    const label = make("label", null, { class: "line", for: id });
    const radio = make("input", null, { type: "radio", name: group, id });
    label.append(radio, make("span", name, { class: "name" }));
    if (says) label.append(make("span", says, { class: "unseen" }));
    return { label, radio };
}

/** A radio button that looks like an offcut of each timber and paint, hung on a nail. */
function offcut(group, id, name, says, colours) {
    const { label, radio } = tick_line(group, id, name, says);
    label.className = "offcut";
    const board = make("span", null, { class: "board", "aria-hidden": "true" });
    for (const colour of colours) {
        const strip = make("span");
        strip.style.backgroundColor = colour_of(colour, "transparent");
        board.append(strip);
    }
    radio.after(board);
    return { label, radio };
}

function today() {
    const now = new Date();
    const two = (number) => String(number).padStart(2, "0");
    return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** Mail mangles what is not ASCII; JSON has another way to write it. */
function ascii(said) {
    return said.replace(/[^\x20-\x7e]/g, (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, "0")}`);
}

function save_file(saved, job) {
    const safe = text_of(job.job?.name).replace(/[^A-Za-z0-9]+/g, "-").replace(/^-+|-+$/g, "").slice(0, 60);
    const blob = new Blob([`${JSON.stringify(saved, null, 2)}\n`], { type: "application/json" });
    const link = make("a", null, { download: `answers-${safe || "stair"}.json` });
    link.href = URL.createObjectURL(blob);
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    by_id("kept").textContent = "Saved. Send us the file.";
}

async function copy_text() {
    const text = by_id("text");
    const say = (said) => (by_id("kept").textContent = said);
    try {
        await navigator.clipboard.writeText(text.value);
        say("Copied. Paste it into a message to us.");
    } catch {
        by_id("text-part").open = true;
        text.focus();
        text.select();
        // The old way still works where the new one is not allowed.
        const done = document.execCommand("copy");
        say(done ? "Copied. Paste it into a message to us." : "The text is selected: copy it by hand.");
    }
}
