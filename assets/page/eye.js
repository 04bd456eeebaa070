// The eye: where the stair is seen from, and how finger, mouse and keys move it.

const LOW = 0.15;
const TURN = Math.PI / 18;
/** A finger moves less than this while it taps, in CSS pixels. */
const TAP = 7;

/** The eye of a room. `moved(by_hand)` is called when a frame is wanted. */
function make_eye(room, moved) {
    const T = three;
    const eye = { at: null, goal: null, travel: null };
    const copy = (pose) => ({ target: pose.target.clone(), turn: pose.turn.clone(), fov: pose.fov });

    /** Keeps a pose above the floor, near enough, and its middle in the room. */
    function keep(pose) {
        const size = room.box.getSize(new T.Vector3()).length();
        const ground = room.box.min.y;
        const { target, turn } = pose;
        target.clamp(
            room.box.min.clone().subScalar(0.6).setY(ground + 0.02),
            room.box.max.clone().addScalar(0.6),
        );
        turn.radius = Math.min(Math.max(turn.radius, 0.35), size * 3);
        const lowest = Math.min(Math.max((ground + LOW - target.y) / turn.radius, -0.99), 0.99);
        turn.phi = Math.min(Math.max(turn.phi, 0.06), Math.acos(lowest));
        return pose;
    }

    /** The pose of a viewpoint. */
    eye.pose_of = (view) => {
        const target = new T.Vector3().fromArray(view.target);
        const way = new T.Vector3().fromArray(view.eye).sub(target);
        return { target, turn: new T.Spherical().setFromVector3(way), fov: view.fov_deg };
    };

    /** Puts the camera of a pose; a narrow picture is widened, then stepped back for. */
    eye.place = (pose, aspect) => {
        const { camera } = room;
        const wanted = Math.tan((pose.fov * Math.PI) / 360) * Math.max(1, 4 / 3 / aspect);
        const widest = Math.max(Math.tan((62 * Math.PI) / 360), Math.tan((pose.fov * Math.PI) / 360));
        const half = Math.min(wanted, widest);
        camera.fov = (Math.atan(half) * 360) / Math.PI;
        camera.aspect = aspect;
        const way = new T.Vector3().setFromSpherical(pose.turn).multiplyScalar(wanted / half);
        camera.position.copy(pose.target).add(way);
        camera.position.y = Math.max(camera.position.y, room.box.min.y + LOW);
        camera.lookAt(pose.target);
        camera.updateProjectionMatrix();
        camera.updateMatrixWorld();
    };

    /** Where it is now; moves on a journey that is under way. True while it goes on. */
    eye.step = (now) => {
        const { travel } = eye;
        if (!travel) return false;
        travel.from_time ??= now;
        const part = Math.min((now - travel.from_time) / travel.last, 1);
        const ease = part * part * (3 - 2 * part);
        const { from, to } = travel;
        const mix = (a, b) => a + (b - a) * ease;
        eye.at.target.lerpVectors(from.target, to.target, ease);
        eye.at.turn.radius = Math.exp(mix(Math.log(from.turn.radius), Math.log(to.turn.radius)));
        eye.at.turn.phi = mix(from.turn.phi, to.turn.phi);
        const round = 2 * Math.PI;
        const across = ((((to.turn.theta - from.turn.theta + Math.PI) % round) + round) % round) - Math.PI;
        eye.at.turn.theta = from.turn.theta + across * ease;
        eye.at.fov = mix(from.fov, to.fov);
        if (part < 1) return true;
        eye.at = copy(to);
        eye.travel = null;
        return false;
    };

    /** Goes to a pose, smoothly unless the reader wants calm. */
    eye.go = (pose, last, by_hand = false) => {
        eye.goal = copy(pose);
        if (eye.at === null || wants_calm()) {
            eye.at = copy(pose);
            eye.travel = null;
        } else {
            eye.travel = { from: copy(eye.at), to: copy(pose), last, from_time: null };
        }
        moved(by_hand);
    };

    /** Where a journey that is under way leads, or where it stands. */
    const ahead = () => copy(eye.travel ? eye.goal : eye.at);

    function nudge(change, last) {
        const pose = ahead();
        change(pose);
        keep(pose);
        if (last > 0) return eye.go(pose, last, true);
        eye.travel = null;
        eye.at = pose;
        eye.goal = copy(pose);
        return moved(true);
    }
    const turn = (across, up, last = 0) =>
        nudge((pose) => {
            pose.turn.theta += across;
            pose.turn.phi += up;
        }, last);
    const nearer = (share, last = 0) => nudge((pose) => (pose.turn.radius *= share), last);
    /** Slides by shares of what is seen from top to bottom. */
    const slide = (across, up, last = 0) =>
        nudge((pose) => {
            const seen = 2 * pose.turn.radius * Math.tan((room.camera.fov * Math.PI) / 360);
            const right = new T.Vector3().setFromMatrixColumn(room.camera.matrixWorld, 0);
            const above = new T.Vector3().setFromMatrixColumn(room.camera.matrixWorld, 1);
            pose.target.addScaledVector(right, across * seen).addScaledVector(above, up * seen);
        }, last);

    /** Does what a key asks for; false where it asks for nothing. */
    eye.key = (key, shift) => {
        const moves = {
            ArrowLeft: [1, 0],
            ArrowRight: [-1, 0],
            ArrowUp: [0, -1],
            ArrowDown: [0, 1],
        };
        if (moves[key]) {
            const [across, up] = moves[key];
            if (shift) slide(-across * 0.08, -up * 0.08, 160);
            else turn(-across * TURN, up * TURN, 160);
        } else if (key === "+" || key === "=") nearer(1 / 1.2, 160);
        else if (key === "-" || key === "_") nearer(1.2, 160);
        else return false;
        return true;
    };

    eye.listen = (canvas, tapped, wheel_is_ours) => listen(canvas, { turn, nearer, slide, tapped, wheel_is_ours });
    eye.keep = keep;
    return eye;
}

/** Fingers and mouse on a canvas. */
function listen(canvas, { turn, nearer, slide, tapped, wheel_is_ours }) {
    const down = new Map();
    let path = 0;
    let most = 0;
    const middle = () => {
        const all = [...down.values()];
        const [x, y] = [0, 1].map((i) => all.reduce((sum, one) => sum + one[i], 0) / all.length);
        return { x, y, apart: all.length > 1 ? Math.hypot(all[0][0] - all[1][0], all[0][1] - all[1][1]) : 0 };
    };
    canvas.addEventListener("pointerdown", (event) => {
        try {
            canvas.setPointerCapture(event.pointerId);
        } catch {
            // A pointer that is gone already cannot be held.
        }
        down.set(event.pointerId, [event.clientX, event.clientY]);
        if (down.size === 1) [path, most] = [0, 0];
        most = Math.max(most, down.size);
        canvas.classList.add("held");
    });
    canvas.addEventListener("pointermove", (event) => {
        if (!down.has(event.pointerId)) return;
        const before = middle();
        down.set(event.pointerId, [event.clientX, event.clientY]);
        const after = middle();
        const [across, up] = [after.x - before.x, after.y - before.y];
        path += Math.hypot(across, up);
        const { clientHeight } = canvas;
        const sliding = down.size > 1 || event.buttons & 6 || event.shiftKey;
        if (sliding) slide(-across / clientHeight, up / clientHeight);
        else if (path > TAP) turn((-across / clientHeight) * 3.4, (-up / clientHeight) * 2.6);
        if (before.apart > 0 && after.apart > 0) nearer(before.apart / after.apart);
    });
    const lift = (event) => {
        if (!down.delete(event.pointerId)) return;
        if (down.size > 0) return;
        canvas.classList.remove("held");
        const plain = event.type === "pointerup" && most === 1 && event.button === 0;
        if (plain && path <= TAP) tapped(event.clientX, event.clientY);
    };
    canvas.addEventListener("pointerup", lift);
    canvas.addEventListener("pointercancel", lift);
    canvas.addEventListener("contextmenu", (event) => event.preventDefault());
    canvas.addEventListener(
        "wheel",
        (event) => {
            if (!event.ctrlKey && !wheel_is_ours()) return;
            event.preventDefault();
            const notch = event.deltaMode === 1 ? 30 : 1;
            nearer(Math.exp(Math.min(Math.max(event.deltaY * notch, -240), 240) * 0.0012));
        },
        { passive: false },
    );
}
