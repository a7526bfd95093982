// Runs before the app, in any browser, and says so in plain words when the app cannot run or did not
// load: with the way to begin anew, and with what is kept on the device as a file. Written for browsers that
// are too old for anything else in here, and needs nothing else of the app.
(function () {
  "use strict";

  var script = document.querySelector("script[data-keeps]");
  /** The name of what the page keeps: "carryover" for the log, "carryover-practice" for the caseload. */
  var keeps = script.getAttribute("data-keeps");
  var isLog = keeps === "carryover";
  var home = script.src.replace(/[^/]*$/, "");

  // What cannot be done without: lists of codes and links are packed with deflate-raw, the log is kept
  // in IndexedDB, and one window at a time may write to it. All are there from iOS 16.4, Chrome 103 and
  // Firefox 126 on.
  function lacking() {
    try {
      new DecompressionStream("deflate-raw");
    } catch (error) {
      return true;
    }
    return !window.WebAssembly || !("indexedDB" in window) || !("noModule" in document.createElement("script"));
  }

  function add(to, name, text) {
    var element = document.createElement(name);
    element.textContent = text;
    to.appendChild(element);
    return element;
  }

  function addButton(to, text, onTap) {
    var button = add(to, "button", text);
    button.type = "button";
    button.className = "button";
    button.onclick = onTap;
    return button;
  }

  var isSaid = false;

  function say(heading, words, offersReload) {
    var shell = document.getElementById("shell");
    if (!shell || isSaid) return;
    isSaid = true;
    var body = shell.querySelector(".screen-body");
    body.textContent = "";
    add(body, "h1", heading);
    add(body, "p", words);
    add(body, "p", "Nothing you entered before is lost.");
    if (offersReload) {
      var button = addButton(body, "Try again", function () {
        button.disabled = true;
        tryAgain();
      });
      button.className = "button main";
    }
    offerFile(body);
  }

  /**
   * Opens the page anew. Where the host can be reached, what the browser and the worker keep of the app goes
   * first: it may be what is broken. What people entered is kept elsewhere, and stays.
   */
  function tryAgain() {
    var again = function () {
      location.reload();
    };
    var forgetApp = function () {
      // As in the service worker.
      var place = home.slice(location.origin.length);
      var isOurs = function (name) {
        return name.indexOf("carryover:" + place + ":") === 0 || (place === "/" && /^carryover-[0-9a-f]{16}$/.test(name));
      };
      return Promise.all([
        navigator.serviceWorker.getRegistration(home).then(function (worker) {
          return worker && worker.unregister();
        }),
        caches.keys().then(function (names) {
          return Promise.all(
            names.filter(isOurs).map(function (name) {
              return caches.delete(name);
            })
          );
        }),
      ]);
    };
    var askAnew = function () {
      var asked = performance.getEntriesByType("resource").filter(function (entry) {
        return entry.name.indexOf(home) === 0;
      });
      return Promise.all(
        asked.map(function (entry) {
          return fetch(entry.name, { cache: "reload" }).then(null, function () {});
        })
      );
    };
    // A network that neither answers nor fails is not waited for.
    setTimeout(again, 15000);
    fetch(home + "service-worker.js", { cache: "reload" })
      .then(function (answer) {
        var isThere = answer.ok && /javascript/.test(answer.headers.get("Content-Type"));
        return isThere && forgetApp().then(askAnew);
      })
      .then(again, again);
  }

  /** Adds a button that saves what is kept, where there is something. */
  function offerFile(to) {
    readKept(function (stored) {
      var kept = joined(stored);
      var keys = Object.keys(kept).sort();
      if (keys.length === 0) return;
      var file = isLog ? logOf(keys, kept) : caseloadOf(keys, kept);
      addButton(to, isLog ? "Save the log as a file" : "Save the caseload as a file", function () {
        var link = document.createElement("a");
        link.href = URL.createObjectURL(new Blob([file], { type: "text/plain" }));
        link.download = (isLog ? "carryover-log-" : "caseload-") + new Date().toISOString().slice(0, 10) + ".txt";
        link.click();
      });
    });
  }

  /** Calls with every stored text under its key, whichever version stored it. What is not there is not made. */
  function readKept(done) {
    var stored = {};
    try {
      var request = indexedDB.open(keeps);
      request.onupgradeneeded = function () {
        request.transaction.abort();
      };
      request.onerror = function (event) {
        event.preventDefault();
        done(stored);
      };
      request.onsuccess = function () {
        var database = request.result;
        if (!database.objectStoreNames.contains("events")) {
          database.close();
          return done(stored);
        }
        var reading = database.transaction("events").objectStore("events").openCursor();
        reading.onsuccess = function () {
          var at = reading.result;
          if (at) {
            stored[at.key] = String(at.value);
            at.continue();
          } else {
            database.close();
            done(stored);
          }
        };
        reading.onerror = function () {
          database.close();
          done(stored);
        };
      };
    } catch (error) {
      done(stored);
    }
  }

  /** What is stored, with what only the spare place holds: that counts with the same mark of an erasing only. */
  function joined(stored) {
    var spare = {};
    try {
      JSON.parse(localStorage.getItem(keeps + ".spare") || "[]").forEach(function (pair) {
        spare[pair[0]] = pair[1];
      });
    } catch (error) {
      spare = {};
    }
    var all = {};
    var takeFrom = function (some) {
      Object.keys(some).forEach(function (key) {
        if (key !== (isLog ? "erased" : "changes")) all[key] = some[key];
      });
    };
    if (spare.erased === stored.erased) takeFrom(spare);
    takeFrom(stored);
    return all;
  }

  /** A log file as docs/file-format.md has it: the events as they are stored, in the order of their ids. */
  function logOf(keys, kept) {
    var events = keys.map(function (key) {
      return kept[key];
    });
    return '{"format":"carryover-log","version":1,"events":[\n' + events.join(",\n") + "\n]}\n";
  }

  /** A copy of a caseload as docs/file-format.md has it. What is no document is carried as a text. */
  function caseloadOf(keys, kept) {
    var documents = keys.map(function (key) {
      var text = kept[key];
      var isDocument = /^\{[^]*\}$/.test(text);
      try {
        JSON.parse(text);
      } catch (error) {
        isDocument = false;
      }
      return JSON.stringify(key) + ":" + (isDocument ? text : JSON.stringify(text));
    });
    return '{"format":"carryover-caseload","version":1,"documents":{' + documents.join(",") + "}}";
  }

  var isTooOld = lacking();

  function notLoaded() {
    if (isTooOld) return;
    say("Carryover did not load", "A part of the app did not arrive. Check that you are online, then try again.", true);
  }

  document.addEventListener("DOMContentLoaded", function () {
    if (!isTooOld) return;
    say(
      "This browser is too old",
      "Carryover needs iOS 16.4, Chrome 103 or Firefox 126, or anything newer. Update this device, or open Carryover on another one.",
      false
    );
  });
  window.addEventListener("unhandledrejection", notLoaded);
  window.addEventListener(
    "error",
    function (event) {
      // Every script of the app is a module; what a host adds to the page is not the app's business.
      if (event.target === window || event.target.type === "module") notLoaded();
    },
    true
  );

  /** The app asks for these, where it started and then a part of it did not arrive. */
  window.floor = { tryAgain: tryAgain, offerFile: offerFile };
})();
