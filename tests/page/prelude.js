// Runs in every document before its own scripts, in every engine. Hands errors of all kinds to
// `keepError`, which is declared before it, and finds elements: by CSS selector, or, after `text=`,
// the button, summary or label of the open sheet, or else of the page, that begins with a text.
addEventListener('error', event => {
    if (event.message) keepError('error: ' + event.message);
});
addEventListener('unhandledrejection', event => keepError('rejection: ' + event.reason));
addEventListener('securitypolicyviolation',
    event => keepError('policy: ' + event.violatedDirective + ' ' + event.blockedURI));
const consoleError = console.error;
console.error = (...words) => {
    keepError('console: ' + words.join(' '));
    consoleError(...words);
};
window.locate = locator => {
    if (!locator.startsWith('text=')) return document.querySelector(locator);
    const text = locator.slice('text='.length);
    const scope = document.querySelector('dialog') || document;
    const found = said => [...scope.querySelectorAll('button, summary, label')]
        .find(one => said(one).replaceAll('\u00a0', ' ').trim().startsWith(text));
    // what is folded away has no text that is seen
    return found(one => one.innerText) ?? found(one => one.textContent) ?? null;
};
