// @ts-check
// Follows a preview: shows what was found on a strip below the page, and loads the page again when it has changed.
// Only a preview serves this script and names it in its pages. What was typed is in the browser's storage; the page
// puts it back by itself.
{
    const script = /** @type {HTMLScriptElement} */ (document.currentScript);
    const own = script.src;
    const OPEN = "fieldcoil-preview-open";
    // The page keeps what is typed a moment after the key; nobody is interrupted in the middle of a number.
    const STILL = 600;

    const host = document.createElement("fieldcoil-preview");
    const root = host.attachShadow({ mode: "open" });
    const styles = document.createElement("link");
    styles.rel = "stylesheet";
    styles.href = new URL("strip.css", own).href;
    const place = document.createElement("aside");
    place.hidden = true;
    const strip = document.createElement("details");
    strip.open = sessionStorage.getItem(OPEN) === "yes";
    strip.addEventListener("toggle", () => sessionStorage.setItem(OPEN, strip.open ? "yes" : "no"));
    const summary = document.createElement("summary");
    const list = document.createElement("ul");
    // What is found is told in English, whatever the language of the course.
    list.lang = "en";
    strip.append(summary, list);
    place.append(strip);
    root.append(styles, place);

    /** @param {string} name @param {string} text */
    const part = (name, text) => {
        const element = document.createElement(name);
        element.textContent = text;
        return element;
    };

    const line = finding => {
        const item = document.createElement("li");
        item.dataset.severity = finding.severity;
        const head = part("p", `${finding.severity}: ${finding.message} `);
        head.append(part("code", finding.place));
        item.append(head, ...finding.help.map(sentence => part("p", sentence)));
        return item;
    };

    /** What the strip says when nobody answers any more. */
    let ended = "";
    const show = report => {
        const has = severity => report.lines.some(finding => finding.severity === severity);
        strip.dataset.state = report.is_stale || has("error") ? "error" : has("warning") ? "warning" : "fine";
        place.setAttribute("aria-label", report.label);
        place.hidden = false;
        summary.textContent = report.summary;
        ended = report.ended;
        list.replaceChildren(...report.lines.map(line));
    };

    let lastKey = -STILL;
    addEventListener("input", () => { lastKey = performance.now(); }, true);
    let waits = false;
    const loadAgain = () => {
        if (waits) return;
        waits = true;
        const look = () => {
            const left = STILL - (performance.now() - lastKey);
            if (left > 0) setTimeout(look, left);
            else location.reload();
        };
        look();
    };

    /** The page that is shown, by its digits; there may have been a save since it was sent. */
    const page = script.dataset.page;
    /** @type {EventSource | undefined} */
    let source;
    const listen = () => {
        const events = new URL("events", own);
        events.searchParams.set("page", location.pathname);
        source = new EventSource(events);
        source.onmessage = message => {
            const told = JSON.parse(message.data);
            show(told.report);
            if (page !== told.page) loadAgain();
        };
        source.onopen = () => { failures = 0; };
        source.onerror = () => {
            // After each answer the connection ends and is made again; only when that fails often has the preview ended.
            failures += 1;
            if (failures > 3) lost();
            // A browser tries again by itself unless it was turned away, as when too many pages are open.
            if (source?.readyState === EventSource.CLOSED) setTimeout(attend, 5000);
        };
    };
    let failures = 0;
    const lost = () => {
        strip.dataset.state = "ended";
        summary.textContent = ended;
        list.replaceChildren();
    };

    // A browser keeps few connections to one address: a page that nobody sees gives its own back.
    const attend = () => {
        source?.close();
        if (document.visibilityState === "visible") listen();
    };
    document.addEventListener("visibilitychange", attend);
    // The end of the page, and what the keyboard reaches, is above the strip and not below it; paper has no strip.
    const room = new CSSStyleSheet();
    document.adoptedStyleSheets.push(room);
    new ResizeObserver(() => {
        const size = strip.offsetHeight;
        room.replaceSync(`@media screen { html { padding-block-end: ${size}px; scroll-padding-block-end: ${size}px; } }`);
    }).observe(strip);
    document.body.append(host);
    attend();
}
