// Draws the lanes on a canvas, for a stretch of time. The line of the present moment is not drawn
// here: it moves above the canvas, so that dragging draws nothing anew.

import type { Block, Lane } from "./lanes";
import * as palette from "./palette";
import { since } from "./words";

export const ROW = 26;
export const TALL = 42;
export const TOP = 24;
/** Room at the right, where the chart below has its scale of speeds. */
export const RIGHT = 60;

export interface Stretch {
  from: number;
  to: number;
}

export interface Shape {
  width: number;
  gutter: number;
}

export const heightOf = (lane: Lane): number => (lane.tall ? TALL : ROW);

export function height(lanes: Lane[]): number {
  return lanes.reduce((sum, lane) => sum + heightOf(lane), TOP) + 4;
}

/** Where a moment lies across the canvas. */
export function across(moment: number, view: Stretch, shape: Shape): number {
  const share = (moment - view.from) / Math.max(1, view.to - view.from);
  return shape.gutter + share * (shape.width - shape.gutter - RIGHT);
}

/** The moment at a place across the canvas. */
export function momentAt(x: number, view: Stretch, shape: Shape): number {
  const share = (x - shape.gutter) / Math.max(1, shape.width - shape.gutter - RIGHT);
  return view.from + share * (view.to - view.from);
}

/** The lane at a place down the canvas. */
export function laneAt(y: number, lanes: Lane[]): Lane | undefined {
  let top = TOP;
  for (const lane of lanes) {
    if (y >= top && y < top + heightOf(lane)) return lane;
    top += heightOf(lane);
  }
  return undefined;
}

/** A step of the scale that leaves so many pixels between its marks. */
function step(view: Stretch, pixels: number): number {
  const steps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200].map((it) => it * 1000);
  const least = ((view.to - view.from) / Math.max(1, pixels)) * 84;
  return steps.find((it) => it >= least) ?? steps[steps.length - 1]!;
}

export function draw(
  canvas: HTMLCanvasElement,
  lanes: Lane[],
  view: Stretch,
  shape: Shape,
): void {
  const ratio = window.devicePixelRatio || 1;
  const tall = height(lanes);
  canvas.width = Math.max(1, Math.round(shape.width * ratio));
  canvas.height = Math.round(tall * ratio);
  canvas.style.height = `${tall}px`;
  const on = canvas.getContext("2d");
  if (!on) return;
  on.setTransform(ratio, 0, 0, ratio, 0, 0);
  on.fillStyle = palette.PAPER;
  on.fillRect(0, 0, shape.width, tall);
  scale(on, view, shape, tall);
  let top = TOP;
  lanes.forEach((lane, number) => {
    const high = heightOf(lane);
    if (number % 2 === 0) {
      on.fillStyle = "rgba(20, 24, 31, 0.035)";
      on.fillRect(0, top, shape.width, high);
    }
    row(on, lane, top, view, shape);
    top += high;
  });
  on.strokeStyle = "#b6bdc7";
  on.beginPath();
  on.moveTo(shape.gutter - 0.5, TOP);
  on.lineTo(shape.gutter - 0.5, tall);
  on.stroke();
}

function scale(on: CanvasRenderingContext2D, view: Stretch, shape: Shape, tall: number): void {
  on.font = "12px system-ui, sans-serif";
  on.textBaseline = "middle";
  on.textAlign = "center";
  const by = step(view, shape.width - shape.gutter - RIGHT);
  for (let at = Math.ceil(view.from / by) * by; at <= view.to; at += by) {
    const x = Math.round(across(at, view, shape)) + 0.5;
    on.strokeStyle = at === 0 ? "#6b7280" : "#dde1e6";
    on.beginPath();
    on.moveTo(x, TOP - 4);
    on.lineTo(x, tall);
    on.stroke();
    on.fillStyle = palette.INK;
    const words = since(at);
    const half = on.measureText(words).width / 2;
    if (x - half > shape.gutter - 20 && x + half < shape.width - 4) on.fillText(words, x, TOP / 2);
  }
}

function row(on: CanvasRenderingContext2D, lane: Lane, top: number, view: Stretch, shape: Shape): void {
  const missed = lane.name.startsWith("✕");
  on.font = lane.place === null || missed ? "600 13px system-ui, sans-serif" : "13px system-ui, sans-serif";
  on.fillStyle = missed ? palette.BAD : palette.INK;
  on.textAlign = "left";
  on.textBaseline = "middle";
  if (on.measureText(lane.name).width <= shape.gutter - 12) on.fillText(lane.name, 6, top + ROW / 2);
  else {
    on.font = on.font.replace("13px", "12px");
    const [first, second] = twoLines(on, lane.name, shape.gutter - 12);
    on.fillText(fitting(on, first, shape.gutter - 12), 6, top + ROW / 2 - 6);
    on.fillText(fitting(on, second, shape.gutter - 24), 18, top + ROW / 2 + 6);
  }
  on.save();
  on.beginPath();
  on.rect(shape.gutter, top, shape.width - shape.gutter - RIGHT, heightOf(lane));
  on.clip();
  for (const block of lane.blocks) put(on, block, top, view, shape);
  let written = -Infinity;
  for (const bracket of lane.brackets) {
    const [from, to] = [across(bracket.from, view, shape), across(bracket.to, view, shape)];
    const y = top + ROW + 4;
    on.strokeStyle = bracket.fits ? palette.GOOD : palette.BAD;
    on.lineWidth = 2;
    on.setLineDash(bracket.fits ? [] : [4, 3]);
    on.beginPath();
    on.moveTo(from, y - 4);
    on.lineTo(from, y);
    on.lineTo(to, y);
    on.lineTo(to, y - 4);
    on.stroke();
    on.setLineDash([]);
    on.font = "11px system-ui, sans-serif";
    on.textAlign = "right";
    on.fillStyle = bracket.fits ? palette.GOOD : palette.BAD;
    // Never over the words of the bracket before.
    const begin = to - 3 - on.measureText(bracket.words).width;
    if (begin < Math.max(from + 4, written + 6)) continue;
    on.fillText(bracket.words, to - 3, y + 7);
    written = to;
  }
  for (const tick of lane.ticks) {
    const x = across(tick.at, view, shape);
    on.fillStyle = tick.look.fill;
    on.strokeStyle = palette.INK;
    on.lineWidth = 1;
    on.beginPath();
    on.rect(Math.round(x) - 6.5, top + 5.5, 13, 15);
    on.fill();
    on.stroke();
    on.fillStyle = tick.look.ink;
    on.font = "700 10px system-ui, sans-serif";
    on.textAlign = "center";
    on.fillText(tick.letter, Math.round(x), top + ROW / 2 + 0.5);
  }
  on.restore();
}

function put(on: CanvasRenderingContext2D, block: Block, top: number, view: Stretch, shape: Shape): void {
  const from = across(block.from, view, shape);
  const wide = Math.max(1.5, across(block.to, view, shape) - from);
  if (from > shape.width || from + wide < shape.gutter) return;
  const [y, high] = block.faint ? [top + 10, ROW - 20] : [top + 4, ROW - 8];
  on.fillStyle = block.fill;
  on.fillRect(from, y, wide, high);
  if (block.pattern !== "none") {
    on.save();
    on.beginPath();
    on.rect(from, y, wide, high);
    on.clip();
    on.strokeStyle = block.ink;
    on.globalAlpha = 0.35;
    on.lineWidth = 1;
    on.setLineDash(block.pattern === "dotted" ? [1.5, 3.5] : []);
    on.beginPath();
    const first = Math.floor(Math.max(from, shape.gutter) / 7) * 7 - high;
    for (let x = first; x < Math.min(from + wide, shape.width); x += 7) {
      on.moveTo(x, y + high);
      on.lineTo(x + high, y);
    }
    on.stroke();
    on.restore();
  }
  if (block.faint) return;
  on.strokeStyle = "rgba(20, 24, 31, 0.55)";
  on.lineWidth = 1;
  on.strokeRect(from + 0.5, y + 0.5, Math.max(0.5, wide - 1), high - 1);
  if (wide < 12 || block.words === "") return;
  on.font = "12px system-ui, sans-serif";
  on.textAlign = "left";
  on.fillStyle = block.ink;
  const inside = Math.max(from, shape.gutter);
  const room = from + wide - inside - 8;
  const whole = fitting(on, block.words, room);
  // A few letters of a name say less than its number.
  const words = block.short !== undefined && whole.endsWith("…") && whole.length < 7 ? block.short : whole || block.short || "";
  if (on.measureText(words).width > room + 4) return;
  if (block.pattern !== "none" && words !== "") {
    on.fillStyle = block.fill;
    on.fillRect(inside + 2, y + 2, on.measureText(words).width + 4, high - 4);
    on.fillStyle = block.ink;
  }
  on.fillText(words, inside + 4, y + high / 2 + 0.5);
}

/** A name in two lines: as many of its words in the first as fit there. */
function twoLines(on: CanvasRenderingContext2D, name: string, room: number): [string, string] {
  const words = name.split(" ");
  let count = words.length - 1;
  while (count > 1 && on.measureText(words.slice(0, count).join(" ")).width > room) count--;
  // A mark does not stand alone in its line.
  if (count < 2 && words.length > 1 && words[0]!.length === 1) count = Math.min(2, words.length);
  return [words.slice(0, count).join(" "), words.slice(count).join(" ")];
}

/** As much of a text as fits, with an ellipsis where something is left out. */
function fitting(on: CanvasRenderingContext2D, text: string, room: number): string {
  if (on.measureText(text).width <= room) return text;
  const letters = [...text];
  while (letters.length > 1) {
    letters.pop();
    const cut = `${letters.join("").trimEnd()}…`;
    if (on.measureText(cut).width <= room) return letters.length > 1 ? cut : "";
  }
  return "";
}
