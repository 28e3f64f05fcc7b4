// Loads the second program into its worker. Whatever goes wrong here ends in an uncaught error,
// which the browser reports to the page.
"use strict";

// After a failed start the page adds a query to this file's address, so that the next one does
// not meet the same broken answer in the browser's cache.
const query = self.location.search;

importScripts("tarnlight-worker.js" + query);
wasm_bindgen({ module_or_path: "tarnlight-worker_bg.wasm" + query }).catch((why) => {
  // A rejected promise is not reported to the page; an error thrown outside of it is.
  setTimeout(() => { throw why; });
});
