//! What a drawing may have. Everything else is refused.

/// Shapes, text and what they refer to. No scripts, styles, animation, links, pictures of pictures or foreign content.
#[rustfmt::skip]
pub const ELEMENTS: &[&str] = &[
    "circle", "clipPath", "defs", "desc", "ellipse", "g", "line", "linearGradient", "marker", "mask",
    "path", "pattern", "polygon", "polyline", "radialGradient", "rect", "stop", "svg", "symbol", "text",
    "textPath", "title", "tspan", "use",
];

#[rustfmt::skip]
pub const ATTRIBUTES: &[&str] = &[
    "class", "clipPathUnits", "cx", "cy", "d", "dx", "dy", "fr", "fx", "fy", "gradientTransform",
    "gradientUnits", "height", "href", "id", "lengthAdjust", "markerHeight", "markerUnits", "markerWidth",
    "maskContentUnits", "maskUnits", "method", "offset", "orient", "pathLength", "patternContentUnits",
    "patternTransform", "patternUnits", "points", "preserveAspectRatio", "r", "refX", "refY", "rotate",
    "rx", "ry", "side", "spacing", "spreadMethod", "startOffset", "textLength", "transform", "viewBox",
    "width", "x", "x1", "x2", "y", "y1", "y2",
];

/// Attributes that are also properties of a `style`, in which drawing programs like to write them.
#[rustfmt::skip]
pub const LOOKS: &[&str] = &[
    "alignment-baseline", "baseline-shift", "clip-path", "clip-rule", "color", "display",
    "dominant-baseline", "fill", "fill-opacity", "fill-rule", "font-family", "font-size", "font-style",
    "font-variant", "font-weight", "letter-spacing", "marker-end", "marker-mid", "marker-start", "mask",
    "opacity", "paint-order", "shape-rendering", "stop-color", "stop-opacity", "stroke", "stroke-dasharray",
    "stroke-dashoffset", "stroke-linecap", "stroke-linejoin", "stroke-miterlimit", "stroke-opacity",
    "stroke-width", "text-anchor", "text-decoration", "text-rendering", "transform-origin", "vector-effect",
    "visibility", "word-spacing", "writing-mode",
];

/// Attributes that change nothing in a page; drawing programs write them.
#[rustfmt::skip]
pub const IDLE: &[&str] = &[
    "baseProfile", "enable-background", "focusable", "lang", "role", "tabindex", "version",
];
