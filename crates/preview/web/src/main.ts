import "ol/ol.css";
import "uplot/dist/uPlot.min.css";
import "./main.css";

import { h, render } from "preact";

import { read } from "./data";

const page = read(document.getElementById("data")?.textContent ?? "");
const titles = page.sides.map((side) => h("h1", null, side.identity.title));
const mount = document.getElementById("page");
if (mount) {
  render(h("main", null, titles), mount);
}
