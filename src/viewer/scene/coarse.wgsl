// The corner of the picture that was drawn, stretched over all of it: between four points of it.
#import bevy_core_pipeline::fullscreen_vertex_shader::FullscreenVertexOutput

struct Coarse {
    // What of the picture was drawn, across and down.
    share: vec2<f32>,
}

@group(0) @binding(0) var picture: texture_2d<f32>;
@group(0) @binding(1) var nearest: sampler;
@group(0) @binding(2) var<uniform> coarse: Coarse;

@fragment
fn fragment(in: FullscreenVertexOutput) -> @location(0) vec4<f32> {
    let size = vec2<f32>(textureDimensions(picture));
    let last = floor(size * coarse.share) - 1.0;
    let at = in.uv * size * coarse.share - 0.5;
    let first = floor(at);
    let between = at - first;
    let low = vec2<i32>(clamp(first, vec2(0.0), last));
    let high = vec2<i32>(clamp(first + 1.0, vec2(0.0), last));
    let above = mix(
        textureLoad(picture, low, 0),
        textureLoad(picture, vec2(high.x, low.y), 0),
        between.x,
    );
    let below = mix(
        textureLoad(picture, vec2(low.x, high.y), 0),
        textureLoad(picture, high, 0),
        between.x,
    );
    return mix(above, below, between.y);
}
