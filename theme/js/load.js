// Starts the calculators. What stands before this file in the same script: the binder's glue, which gives
// `fieldcoil_calc`, and the module's bytes as text. Without script a page shows the lesson's own values.
{
    // 89 letters stand for the commonest bytes; the two after them say that the next letter is of another set.
    const bytes = new Uint8Array(fieldcoil_module.length);
    let size = 0;
    let set = 0;
    for (let i = 0; i < fieldcoil_module.length; i += 1) {
        const code = fieldcoil_module.charCodeAt(i);
        const index = code - (code > 92 ? 36 : 35);
        if (index >= 89) {
            set = index - 88;
        } else {
            bytes[size] = fieldcoil_order[set * 89 + index];
            size += 1;
            set = 0;
        }
    }
    const module = bytes.subarray(0, size);
    try {
        fieldcoil_calc.initSync({ module });
    } catch (problem) {
        // Some browsers refuse to compile more than 4 kB at once on the page's own thread.
        if (!(problem instanceof RangeError)) throw problem;
        fieldcoil_calc({ module_or_path: module });
    }
    // This script is also what a worker runs, beside the page: it has no document.
    // Browsers that cannot unfold closed details by style alone get them opened for paper.
    if (globalThis.document && !CSS.supports("selector(details::details-content)")) {
        addEventListener("beforeprint", () => {
            for (const part of document.querySelectorAll(".calculator details")) part.open = true;
        });
    }
}
