// The page: ties what is shown to what is chosen.

(function start() {
    const job = read_job();
    // Without data the plain part stays: it says all that matters.
    if (job === null) return;
    const shown = { alternative: 0, look: 0, light: null, view: 0, part: null, note: null };
    shown.light = light_of(job.looks[0]);
    let room = null;
    let eye = null;
    let loading = 0;
    let asked = 0;
    let frames = 0;
    let was_moving = false;
    let slow = 0;
    // True once it is known that there is no 3D to wait for.
    let flat = false;
    let decisions = null;
    const models = new Map();
    const [canvas, frame, caption] = ["picture", "frame", "caption"].map(by_id);

    by_id("title").textContent = text_of(job.title);
    by_id("title").dir = "auto";
    const pins = make_pins(job, pick_note);
    const radios = {
        alternative: choices("alternatives", job.alternatives, set_alternative),
        look: choices("looks", job.looks, set_look),
        light: choices("lights", [{ name: "Day" }, { name: "Evening" }], (i) => set_light(i === 1 ? "Evening" : "Day")),
    };
    const views = view_buttons();
    prices();
    for (const caution of job.cautions) by_id("cautions").append(make("li", caution));
    by_id("cautions-part").hidden = job.cautions.length === 0;
    foot();

    decisions = make_decisions(job, settled, ids);
    make_paper(
        job,
        decisions,
        { ids, words: say_finish, view_now: () => job.views[shown.view] ?? null },
        draw_for_paper,
    );
    by_id("live").hidden = false;
    document.documentElement.classList.add("live");
    // A picture and all the words are there at once; the 3D takes its place when it is drawn.
    dress();
    setTimeout(begin, 30);

    function begin() {
        performance.mark("begin");
        try {
            room = make_room(canvas);
            eye = make_eye(room, moved);
        } catch {
            room = null;
            flat = true;
            by_id("how").hidden = true;
            by_id("lights").hidden = true;
            return show_still("This browser shows no 3D, so here are pictures.");
        }
        performance.mark("room");
        listen_all();
        return set_alternative(shown.alternative);
    }

    // What is shown.

    function ids() {
        return {
            alternative: job.alternatives[shown.alternative].id,
            look: job.looks[shown.look].id,
            view: job.views[shown.view]?.id ?? null,
        };
    }
    function light_of(look) {
        return look.light === "Evening" ? "Evening" : "Day";
    }
    function say_finish() {
        const many = job.alternatives.length > 1 ? `${text_of(job.alternatives[shown.alternative].name)}, ` : "";
        const light = shown.light === "Evening" ? "in the evening" : "by day";
        return `${many}${text_of(job.looks[shown.look].name)}, ${room ? light : ""}`.replace(/, $/, "");
    }
    function say() {
        const { part, note } = shown;
        let said = `${capital(job.views[shown.view]?.name ?? "as you turned it")}: ${say_finish()}.`;
        if (part) said = part.says ? `${part.name}: ${part.says}` : part.name;
        else if (note !== null) said = `${note + 1}. ${text_of(job.notes[note].title)}`;
        if (caption.textContent !== said) caption.textContent = said;
        canvas.setAttribute("aria-label", `${text_of(job.title)} in 3D. ${capital(say_finish())}.`);
    }

    async function set_alternative(index) {
        shown.alternative = index;
        shown.part = null;
        dress();
        if (room === null) return undefined;
        const mine = ++loading;
        canvas.dataset.loading = true;
        try {
            if (!models.has(index)) models.set(index, await room.load(bytes_of(job.alternatives[index].glb)));
        } catch {
            if (mine !== loading) return undefined;
            canvas.dataset.loading = false;
            flat = true;
            show_still("The 3D of this alternative cannot be read, so here are pictures.");
            return undefined;
        }
        performance.mark("model");
        // Another was chosen while this one was being read.
        if (mine !== loading) return undefined;
        canvas.dataset.loading = false;
        room.show(models.get(index), job.views[0].eye);
        canvas.hidden = false;
        flat = false;
        by_id("still").hidden = true;
        size();
        if (eye.at === null) eye.go(eye.pose_of(job.views[shown.view ?? 0]), 0);
        list_parts();
        pins.ready(true);
        return dress();
    }
    function set_look(index) {
        shown.look = index;
        shown.light = light_of(job.looks[index]);
        dress();
    }
    function set_light(light) {
        shown.light = light;
        dress();
    }
    function dress() {
        radios.alternative[shown.alternative].checked = true;
        say_beside("alternatives", job.alternatives[shown.alternative]);
        radios.look[shown.look].checked = true;
        say_beside("looks", job.looks[shown.look]);
        radios.light[shown.light === "Evening" ? 1 : 0].checked = true;
        // What was decided before is shown while the form is still being made.
        decisions?.hung();
        if (room === null) return show_still();
        if (room.model === null) return undefined;
        room.finish(job.looks[shown.look], shown.light);
        say();
        return ask_frame();
    }
    function settled(kind, id) {
        const all = kind === "look" ? job.looks : job.alternatives;
        const index = all.findIndex((one) => one.id === id);
        if (index < 0) return;
        if (kind === "look") set_look(index);
        else set_alternative(index);
    }
    function set_view(index) {
        if (!job.views[index]) return;
        shown.view = index;
        shown.note = null;
        pins.pick(null);
        mark_view();
        say();
        if (room === null || room.model === null) show_still();
        else eye.go(eye.pose_of(job.views[index]), 900);
    }
    function mark_view() {
        views.forEach((button, i) => button.setAttribute("aria-pressed", String(i === shown.view)));
    }

    // Frames: one is drawn when something changed, none at rest.

    function moved(by_hand) {
        if (by_hand) {
            shown.view = null;
            mark_view();
            say();
        }
        ask_frame();
    }
    function ask_frame() {
        if (asked === 0) asked = requestAnimationFrame(draw);
    }
    function draw(now) {
        asked = 0;
        if (room.model === null || eye.at === null || canvas.hidden) return;
        const moving = eye.step(now);
        const before = performance.now();
        eye.place(eye.at, frame.clientWidth / frame.clientHeight);
        room.draw();
        // A machine that draws slowly gets fewer dots while it moves.
        if (moving && was_moving) slow = 0.7 * slow + 0.3 * (now - was_moving);
        coarse(moving && slow > 70);
        was_moving = moving ? now : false;
        pins.hang(room, frame.clientWidth, frame.clientHeight, !moving);
        frames += 1;
        canvas.dataset.frames = frames;
        canvas.dataset.moving = moving;
        canvas.dataset.above = (room.camera.position.y - room.box.min.y).toFixed(3);
        if (frames === 1) canvas.dataset.firstFrameMs = Math.round(performance.now());
        canvas.dataset.lastMs = Math.round(performance.now() - before);
        if (moving) ask_frame();
    }
    function coarse(is) {
        const ratio = is ? 1 : Math.min(devicePixelRatio || 1, 2);
        if (room.renderer.getPixelRatio() === ratio) return;
        room.renderer.setPixelRatio(ratio);
        ask_frame();
    }
    function size() {
        if (room === null || frame.clientWidth === 0) return;
        room.renderer.setPixelRatio(Math.min(devicePixelRatio || 1, 2));
        room.renderer.setSize(frame.clientWidth, frame.clientHeight, false);
        if (room.model) ask_frame();
    }
    function draw_for_paper(view) {
        if (room === null || room.model === null || canvas.hidden) return null;
        const { renderer, scene, camera } = room;
        const paper = scene.background;
        renderer.setPixelRatio(1);
        renderer.setSize(1200, 900, false);
        scene.background = new three.Color(0xffffff);
        eye.place(eye.pose_of(view), 4 / 3);
        room.draw();
        // What was drawn stays only until this task ends: it is copied before.
        const flat = document.createElement("canvas");
        [flat.width, flat.height] = [1200, 900];
        flat.getContext("2d").drawImage(canvas, 0, 0);
        scene.background = paper;
        size();
        eye.place(eye.at, camera.aspect);
        return flat;
    }

    // Without 3D: pictures.

    function show_still(why) {
        canvas.hidden = true;
        pins.hide();
        pins.ready(false);
        const still = by_id("still");
        still.hidden = false;
        if (why !== undefined) by_id("still-says").textContent = why;
        const best = best_picture(job, ids());
        const picture = by_id("still-picture");
        picture.hidden = best === null;
        if (best === null) {
            caption.textContent = flat
                ? "There is no picture of this; the notes say what is meant."
                : "The picture is on its way.";
            return;
        }
        picture.src = by_id(best.img).src;
        picture.alt = text_of(best.alt);
        const name = (all, id) => text_of(all.find((one) => one.id === id)?.name);
        const parts = [
            name(job.alternatives, best.alternative),
            name(job.looks, best.look),
            name(job.views, best.view),
        ].filter((part) => part !== "");
        caption.textContent = `${capital(parts.join(", "))}.`;
    }

    // Parts and notes.

    function pick_part(part) {
        shown.part = part;
        shown.note = null;
        pins.pick(null);
        room.mark(part);
        by_id("parts").value = part ? String(room.model.parts.indexOf(part)) : "";
        say();
        ask_frame();
    }
    function pick_note(index, from_picture) {
        shown.part = null;
        shown.note = index;
        pins.pick(index);
        room.mark(null);
        const note = job.notes[index];
        const pose = eye.pose_of({ eye: room.camera.position.toArray(), target: note.at, fov_deg: eye.at.fov });
        pose.turn.radius = Math.min(pose.turn.radius, room.box.getSize(new three.Vector3()).length() * 0.55);
        shown.view = null;
        mark_view();
        eye.go(eye.keep(pose), 700);
        say();
        if (!from_picture) {
            canvas.scrollIntoView({ block: "nearest", behavior: wants_calm() ? "auto" : "smooth" });
            return;
        }
        const item = by_id(`note-${index}`);
        item.focus({ preventScroll: true });
        item.scrollIntoView({ block: "nearest", behavior: wants_calm() ? "auto" : "smooth" });
    }
    function list_parts() {
        const list = by_id("parts");
        list.replaceChildren(make("option", "none", { value: "" }));
        const kinds = new Map();
        room.model.parts.forEach((part, index) => {
            const kind = part.kind || "part";
            if (!kinds.has(kind)) kinds.set(kind, make("optgroup", null, { label: kind }));
            kinds.get(kind).append(make("option", part.name, { value: String(index) }));
        });
        list.append(...kinds.values());
    }

    // What the page is made of.

    function choices(place, all, chosen) {
        const field = by_id(place);
        field.hidden = all.length < 2;
        return all.map((one, index) => {
            const id = `${place}-${index}`;
            const made =
                place === "looks"
                    ? offcut(place, id, one.name, one.says, Array.isArray(one.swatch) ? one.swatch : [one.wall, one.floor])
                    : tick_line(place, id, one.name, one.says);
            made.radio.addEventListener("change", () => made.radio.checked && chosen(index));
            field.querySelector("div").append(made.label);
            return made.radio;
        });
    }
    function say_beside(place, one) {
        const line = by_id(place).querySelector(".says");
        line.textContent = text_of(one.says);
        line.dir = "auto";
    }
    function view_buttons() {
        return job.views.map((view, index) => {
            const button = make("button", view.name, { type: "button", "aria-pressed": String(index === 0) });
            button.addEventListener("click", () => set_view(index));
            by_id("views").append(button);
            return button;
        });
    }
    function prices() {
        if (!job.prices) return;
        by_id("prices-part").hidden = false;
        const row = (words, amount) => {
            const made = make("tr");
            made.append(make("th", words, { scope: "row" }), make("td", amount));
            return made;
        };
        const body = make("tbody");
        for (const line of job.prices.lines) body.append(row(line.words, line.amount));
        const end = make("tfoot");
        end.append(row("Together", `${text_of(job.prices.currency)} ${text_of(job.prices.total)}`.trim()));
        by_id("prices").append(body, end);
        by_id("prices-say").textContent = text_of(job.prices.says);
    }
    function foot() {
        const made = `Made with ${text_of(job.made?.by)} ${text_of(job.made?.version)}`.trim();
        by_id("foot").append(make("p", `${text_of(job.job?.name)} · ${text_of(job.job?.hash).slice(0, 12)}`), make("p", made));
    }

    function listen_all() {
        const wide = matchMedia("(min-width: 60rem)");
        eye.listen(canvas, tapped, () => wide.matches);
        canvas.addEventListener("keydown", (event) => {
            if (event.ctrlKey || event.altKey || event.metaKey) return;
            if (press(event.key, event.shiftKey)) event.preventDefault();
        });
        by_id("turn").addEventListener("click", (event) => {
            const key = event.target.closest("button")?.dataset.turn;
            if (key) press(key, false);
        });
        by_id("parts").addEventListener("change", (event) => {
            pick_part(event.target.value === "" ? null : room.model.parts[Number(event.target.value)]);
        });
        new ResizeObserver(size).observe(frame);
        canvas.addEventListener("webglcontextlost", (event) => {
            event.preventDefault();
            flat = true;
            show_still("The 3D has stopped, so here are pictures. It comes back by itself if it can.");
        });
        canvas.addEventListener("webglcontextrestored", () => {
            canvas.hidden = false;
            flat = false;
            by_id("still").hidden = true;
            pins.ready(true);
            room.renderer.shadowMap.needsUpdate = true;
            size();
            dress();
        });
    }
    function press(key, shift) {
        if (eye.at === null) return false;
        if (key === "Home") set_view(0);
        else if (key === "Escape") pick_part(null);
        else if (/^[1-9]$/.test(key)) set_view(Number(key) - 1);
        else return eye.key(key, shift);
        return true;
    }
    function tapped(x, y) {
        const box = canvas.getBoundingClientRect();
        const part = room.part_at(((x - box.left) / box.width) * 2 - 1, 1 - ((y - box.top) / box.height) * 2);
        pick_part(part);
    }
})();
