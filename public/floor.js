// Runs before the app, in any browser, and says so in plain words when the app cannot run or did not
// load. Written for browsers that are too old for anything else in here.
(function () {
  "use strict";

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

  function say(heading, words, offersReload) {
    var shell = document.getElementById("shell");
    if (!shell) return;
    var body = shell.querySelector(".screen-body");
    body.textContent = "";
    var add = function (name, text) {
      var element = document.createElement(name);
      element.textContent = text;
      body.appendChild(element);
      return element;
    };
    add("h1", heading);
    add("p", words);
    add("p", "Nothing you entered before is lost.");
    if (!offersReload) return;
    var button = add("button", "Try again");
    button.className = "button main";
    button.onclick = function () {
      location.reload();
    };
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
      if (event.target === window || event.target.tagName === "SCRIPT") notLoaded();
    },
    true
  );
})();
