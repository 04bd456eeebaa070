// The page on paper: the plain part, with pictures of what is chosen and the answers ticked.

/** `draw(view)` draws a view of what is chosen, 4:3, and gives the canvas, or null without 3D. */
function make_paper(job, decisions, shown, draw) {
    const plain = by_id("plain");

    function pictures() {
        for (const old of plain.querySelectorAll(".p-drawn")) old.remove();
        const place = plain.querySelector(".p-pictures") ?? make("section", null, { class: "p-pictures" });
        const first = [shown.view_now(), ...job.views].filter(Boolean);
        const views = first.filter((view, i) => first.findIndex((other) => other.id === view.id) === i).slice(0, 3);
        const drawn = make("div", null, { class: "p-drawn" });
        for (const view of views) {
            const source = draw(view);
            if (source === null) break;
            const figure = make("figure");
            // A flat canvas keeps what was drawn on it, and prints; one of 3D prints blank.
            const canvas = make("canvas", null, { role: "img", "aria-label": `${capital(shown.words())}, ${text_of(view.name)}` });
            canvas.width = source.width;
            canvas.height = source.height;
            canvas.getContext("2d").drawImage(source, 0, 0);
            figure.append(canvas, make("figcaption", `${capital(shown.words())}, ${text_of(view.name)}`));
            drawn.append(figure);
        }
        if (drawn.childElementCount > 0) {
            place.append(drawn);
            // A page that was made without pictures has no place for them yet.
            if (!place.isConnected) plain.querySelector("header").after(place);
        }
        plain.classList.toggle("drawn", drawn.childElementCount > 0);
        const best = best_picture(job, shown.ids());
        for (const image of plain.querySelectorAll(".p-pictures img")) {
            image.closest("figure")?.classList.toggle("spare", best !== null && image.id !== best.img);
        }
    }

    function answers() {
        const saved = decisions.read();
        // What had been answered is in the form, and may have been changed there.
        for (const old of plain.querySelectorAll(".p-said, .answered")) old.remove();
        for (const item of plain.querySelectorAll("[data-ask]")) {
            const answer = saved.answers.find((one) => text_of(one.ask) === item.dataset.ask);
            for (const choice of item.querySelectorAll("[data-choice]")) {
                const ticked = answer !== undefined && text_of(answer.choice) === choice.dataset.choice;
                choice.classList.toggle("ticked", ticked);
            }
            if (answer?.note) item.append(make("p", answer.note, { class: "p-said" }));
        }
        const place = plain.querySelector(".p-asks");
        if (!place) return;
        const end = make("div", null, { class: "p-said p-signed" });
        if (saved.note) end.append(make("p", saved.note));
        const row = make("p", null, { class: "p-lines" });
        row.append(make("span", `Name: ${saved.by}`), make("span", `Date: ${saved.on}`), make("span", "Signed:"));
        end.append(row);
        place.append(end);
    }

    addEventListener("beforeprint", () => {
        pictures();
        answers();
    });
}
