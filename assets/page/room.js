// The room: the stair as it was modelled, its finishes, the light. Draws only when told to.

// No tone mapping: a colour that is chosen is the colour that is seen where the light is full, which
// is when the lights on a face add up to pi.
const PENCIL = 0x383532;
const CHALK = 0x265c8f;
/** Above so many triangles a part is drawn without its pencil line: a turned part has too many. */
const LINED = 1500;

const LIGHTS = {
    Day: { sky: 0xf6f7f8, ground: 0xd8d2c8, hemi: 2.15, key: 0xfff6ea, beam: 1.45, high: 0.95, shade: 1.0 },
    Evening: { sky: 0xd9cfcd, ground: 0x8f7459, hemi: 1.6, key: 0xffd09a, beam: 2.2, high: 1.2, shade: 0.52 },
};

/** Sets the room up on a canvas; throws where the browser has no 3D. */
function make_room(canvas) {
    const T = three;
    const renderer = new T.WebGLRenderer({ canvas, antialias: true, powerPreference: "low-power" });
    renderer.shadowMap.enabled = true;
    renderer.shadowMap.type = T.PCFShadowMap;
    renderer.shadowMap.autoUpdate = false;

    const scene = new T.Scene();
    const hemi = new T.HemisphereLight();
    const key = new T.DirectionalLight();
    key.castShadow = true;
    key.shadow.mapSize.set(1024, 1024);
    key.shadow.radius = 5;
    key.shadow.bias = -0.0003;
    key.shadow.normalBias = 0.012;
    scene.add(hemi, key, key.target);

    const floor = make_floor(T);
    scene.add(floor);
    const line = new T.LineBasicMaterial({ color: PENCIL, transparent: true, opacity: 0.3 });
    const mark = new T.MeshBasicMaterial({
        color: CHALK,
        transparent: true,
        opacity: 0.42,
        depthWrite: false,
        polygonOffset: true,
        polygonOffsetFactor: -2,
        polygonOffsetUnits: -2,
    });
    const marked = new T.Mesh(new T.BufferGeometry(), mark);
    marked.visible = false;
    scene.add(marked);

    const room = {
        renderer,
        scene,
        camera: new T.PerspectiveCamera(40, 1, 0.05, 200),
        model: null,
        box: new T.Box3(),

        /** Reads one alternative; its promise gives the model. */
        async load(buffer) {
            const gltf = await new T.GLTFLoader().parseAsync(buffer, "");
            return prepare(T, gltf, line);
        },
        /** Puts a model in place of the one shown. */
        show(model, from) {
            if (room.model) scene.remove(room.model.group);
            room.model = model;
            scene.add(model.group);
            room.box.copy(model.box);
            room.mark(null);
            stand(T, room, key, floor, from);
        },
        /** Finishes the parts; the paper round them takes the tone of the wall. */
        finish(look, light) {
            const set = LIGHTS[light] ?? LIGHTS.Day;
            room.model.finish(look.name);
            hemi.color.set(set.sky);
            hemi.groundColor.set(set.ground);
            hemi.intensity = set.hemi;
            key.color.set(set.key);
            key.intensity = set.beam;
            key.userData.high = set.high;
            const paper = new T.Color(colour_of(look.wall, "#ece6da"));
            paper.lerp(new T.Color(0xffffff), 0.35).multiplyScalar(set.shade);
            // In the evening the paper takes the colour of the lamps.
            if (set.shade < 1) paper.multiply(key.color.clone().lerp(new T.Color(0xffffff), 0.4));
            scene.background = paper;
            floor.material.color.set(colour_of(look.floor, "#c4a074"));
            aim(room, key);
        },
        /** Marks one part in chalk, or none. */
        mark(part) {
            marked.visible = part !== null;
            if (part === null) return;
            marked.geometry = part.mesh.geometry;
            part.mesh.updateWorldMatrix(true, false);
            marked.matrixAutoUpdate = false;
            marked.matrix.copy(part.mesh.matrixWorld);
            marked.matrixWorldNeedsUpdate = true;
        },
        /** Takes away the walls that stand between the eye and the stair. */
        open_walls() {
            const eye = room.camera.position;
            const middle = room.box.getCenter(new T.Vector3());
            for (const wall of room.model.walls) {
                const side = (point) => wall.normal.dot(point.clone().sub(wall.middle));
                wall.mesh.visible = side(eye) * side(middle) > 0;
            }
        },
        /** The part under a place of the picture (-1 to 1 each way), or null. */
        part_at(x, y) {
            const ray = new T.Raycaster();
            ray.setFromCamera(new T.Vector2(x, y), room.camera);
            const meshes = room.model.parts.map((part) => part.mesh).filter((mesh) => mesh.visible);
            const hit = ray.intersectObjects(meshes, false)[0];
            return hit ? room.model.parts.find((part) => part.mesh === hit.object) : null;
        },
        /** Whether something stands before a point. */
        hides(point) {
            const eye = room.camera.position;
            const way = point.clone().sub(eye);
            const ray = new T.Raycaster(eye, way.clone().normalize(), 0.01, way.length() - 0.06);
            const meshes = room.model.parts.map((part) => part.mesh).filter((mesh) => mesh.visible);
            return ray.intersectObjects(meshes, false).length > 0;
        },
        draw() {
            room.open_walls();
            renderer.render(scene, room.camera);
        },
    };
    return room;
}

/** A round of floor that fades into the paper. */
function make_floor(T) {
    const geometry = new T.CircleGeometry(1, 64);
    const count = geometry.attributes.position.count;
    const tones = new Float32Array(count * 4).fill(1);
    // The first vertex is the middle, the others the rim.
    for (let i = 1; i < count; i += 1) tones[4 * i + 3] = 0;
    geometry.setAttribute("color", new T.BufferAttribute(tones, 4));
    const material = new T.MeshStandardMaterial({
        vertexColors: true,
        transparent: true,
        roughness: 0.9,
        depthWrite: false,
    });
    const floor = new T.Mesh(geometry, material);
    floor.rotation.x = -Math.PI / 2;
    floor.receiveShadow = true;
    floor.renderOrder = -1;
    return floor;
}

/** Lays floor and light for a model: the light comes over the shoulder of who stands at `from`. */
function stand(T, room, key, floor, from) {
    const middle = room.box.getCenter(new T.Vector3());
    const size = room.box.getSize(new T.Vector3()).length();
    floor.position.set(middle.x, room.box.min.y - 0.004, middle.z);
    floor.scale.setScalar(size * 0.95);
    const way = new T.Vector3(from[0] - middle.x, 0, from[2] - middle.z);
    if (way.lengthSq() < 1e-6) way.set(1, 0, 1);
    key.userData.way = way.normalize().applyAxisAngle(new T.Vector3(0, 1, 0), -0.6);
    const half = size * 0.62;
    Object.assign(key.shadow.camera, { left: -half, right: half, top: half, bottom: -half, near: 0.1, far: size * 4 });
    key.shadow.camera.updateProjectionMatrix();
    aim(room, key);
}

function aim(room, key) {
    if (!room.model || !key.userData.way) return;
    const size = room.box.getSize(new three.Vector3()).length();
    room.box.getCenter(key.target.position);
    const high = key.userData.high ?? 1;
    key.position.copy(key.userData.way).multiplyScalar(Math.cos(high));
    key.position.y = Math.sin(high);
    key.position.multiplyScalar(size * 1.5).add(key.target.position);
    room.renderer.shadowMap.needsUpdate = true;
}

/** Makes a model of what was read: parts, walls, finishes by name, pencil lines. */
async function prepare(T, gltf, line) {
    const { scene: group, parser } = gltf;
    const names = (parser.json.extensions?.KHR_materials_variants?.variants ?? []).map((one) => one.name);
    const meshes = [];
    group.updateMatrixWorld(true);
    group.traverse((node) => node.isMesh && meshes.push(node));
    const waits = [];
    const finishes = [];
    for (const mesh of meshes) {
        const mappings = mesh.userData.gltfExtensions?.KHR_materials_variants?.mappings ?? [];
        const by_name = new Map();
        for (const { material, variants } of mappings) {
            waits.push(
                parser.getDependency("material", material).then((made) => {
                    for (const index of variants) by_name.set(names[index], made);
                }),
            );
        }
        finishes.push({ mesh, own: mesh.material, by_name });
    }
    await Promise.all(waits);
    // What is worked out of a material once may hang on the mesh, as tangents and colours do.
    const dress = (mesh, material) => {
        mesh.material = material;
        parser.assignFinalMaterial(mesh);
    };
    const parts = meshes.map((mesh) => part_of(mesh));
    for (const part of parts) {
        const wall = part.kind === "wall";
        part.mesh.castShadow = !wall && !part.mesh.material.transparent;
        part.mesh.receiveShadow = true;
        const { index, attributes } = part.mesh.geometry;
        const triangles = (index ? index.count : attributes.position.count) / 3;
        // A wall is plaster: what bends in it is no edge.
        if (triangles <= LINED && !wall) {
            part.mesh.add(new T.LineSegments(new T.EdgesGeometry(part.mesh.geometry, 24), line));
        }
    }
    const box = new T.Box3();
    for (const mesh of meshes) box.expandByObject(mesh);
    const walls = parts.filter((part) => part.kind === "wall").map((part) => wall_of(T, part.mesh));
    return {
        group,
        parts,
        walls,
        box,
        finish(name) {
            for (const { mesh, own, by_name } of finishes) dress(mesh, by_name.get(name) ?? own);
        },
    };
}

/** What a part is called: its node may be the mesh itself or what holds it. */
function part_of(mesh) {
    let node = mesh;
    while (node.parent && node.userData.kind === undefined && node.parent.parent) node = node.parent;
    // The loader makes names safe for its own use; what was written is kept beside.
    const name = text_of(node.userData.name ?? node.name);
    return { mesh, name, kind: text_of(node.userData.kind), says: text_of(node.userData.says) };
}

/** Where a wall stands and which way it faces: across its thinnest way in plan. */
function wall_of(T, mesh) {
    const place = mesh.geometry.attributes.position;
    const point = new T.Vector3();
    let [x, z, xx, xz, zz] = [0, 0, 0, 0, 0];
    const middle = new T.Vector3();
    for (let i = 0; i < place.count; i += 1) {
        point.fromBufferAttribute(place, i).applyMatrix4(mesh.matrixWorld);
        middle.add(point);
        x += point.x;
        z += point.z;
        xx += point.x * point.x;
        xz += point.x * point.z;
        zz += point.z * point.z;
    }
    const n = place.count;
    middle.divideScalar(n);
    const long = 0.5 * Math.atan2(2 * (xz / n - (x * z) / n / n), xx / n - (x * x) / n / n - zz / n + (z * z) / n / n);
    return { mesh, middle, normal: new T.Vector3(-Math.sin(long), 0, Math.cos(long)) };
}
