// What a page must not have, as a list of sentences. `known` are the elements of pages of a harmless course.
const [known, ownHost] = arguments;
const faults = [...(window.ran || [])].map(what => `it ran: ${what}`);
const addresses = ["href", "src", "action", "formaction", "data", "srcset", "poster", "background", "ping", "cite", "longdesc", "xlink:href"];
const schemes = ["https:", "http:", "mailto:", "tel:"];
for (const element of document.querySelectorAll("*")) {
    const name = element.localName;
    const here = `<${name}> in ${element.parentElement?.localName}`;
    if (!known.includes(name)) faults.push(`an element of its own: ${here}`);
    for (const { name: key, value } of element.attributes) {
        if (/^on/i.test(key)) faults.push(`${key} on ${here}`);
        if (["style", "srcdoc", "is"].includes(key)) faults.push(`${key} on ${here}`);
        if (!addresses.includes(key) || value === "") continue;
        let address;
        try {
            address = new URL(value, location.href);
        } catch {
            continue;
        }
        const isDownload = address.protocol === "blob:" && element.hasAttribute("download");
        if (!schemes.includes(address.protocol) && !isDownload) faults.push(`${address.protocol} in ${key} on ${here}`);
        if (name !== "a" && element.rel !== "canonical" && address.origin !== ownHost) faults.push(`${address.origin} for ${here}`);
    }
    if (name === "script") {
        if (element.type === "application/ld+json") {
            try {
                JSON.parse(element.textContent);
            } catch (error) {
                faults.push(`data that is no JSON: ${error}`);
            }
        } else if (!/^\S*assets\/[a-z]+-[0-9a-f]{8}\.js$/.test(element.getAttribute("src") ?? "") || element.textContent) faults.push(`a script: ${element.outerHTML.slice(0, 80)}`);
    }
    if (name === "meta" && element.httpEquiv && element.httpEquiv !== "Content-Security-Policy") faults.push(`meta ${element.httpEquiv}`);
    if (name === "link" && !["stylesheet", "icon", "canonical", "prev", "next"].includes(element.rel)) faults.push(`link ${element.rel}`);
    if (name === "style" && element.parentElement !== document.head) faults.push(`styles in ${here}`);
}
// The frame of the page is whole: what ends it stands where it belongs.
if (document.documentElement.dataset.page !== undefined) {
    for (const [selector, parent] of [["main.sheet", "body > .frame"], ["footer.title-block", "body > .frame"]]) {
        if (!document.querySelector(selector)?.parentElement.matches(parent)) faults.push(`${selector} stands outside of ${parent}`);
    }
}
return [...new Set(faults)].slice(0, 20);
