import "ol/ol.css";
import "uplot/dist/uPlot.min.css";
import "./main.css";

import { h, render } from "preact";

import { App } from "./app";
import { read } from "./data";

const mount = document.getElementById("page");
if (mount) {
  // What stands there for whoever cannot run the program.
  const plain = [...mount.childNodes];
  try {
    const page = read(document.getElementById("data")?.textContent ?? "");
    mount.replaceChildren();
    render(h(App, { page }), mount);
  } catch (error) {
    // Never an empty page: whoever opens it is told what is the matter.
    mount.replaceChildren(...plain);
    const words = document.createElement("p");
    words.className = "broken";
    words.textContent = `This page cannot show its flight: ${error instanceof Error ? error.message : String(error)}`;
    mount.prepend(words);
    console.error(error);
  }
}
