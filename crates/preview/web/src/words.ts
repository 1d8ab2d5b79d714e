// Times and quantities as people read them.

import type { SightLight } from "./data";

const pad = (value: number): string => String(value).padStart(2, "0");

/** Time since take-off: T+05:30, T-00:12. Whole seconds, those begun not counted. */
export function since(milliseconds: number): string {
  const seconds = Math.floor(milliseconds / 1000);
  return `T${seconds < 0 ? "-" : "+"}${clock(Math.abs(seconds) * 1000)}`;
}

/** A length of time as a clock shows it: 05:30, 1:05:30. */
export function clock(milliseconds: number): string {
  const all = Math.floor(milliseconds / 1000);
  const [hours, minutes, seconds] = [Math.floor(all / 3600), Math.floor(all / 60) % 60, all % 60];
  return hours > 0 ? `${hours}:${pad(minutes)}:${pad(seconds)}` : `${pad(minutes)}:${pad(seconds)}`;
}

/** The time of day of a UTC moment, so far ahead of UTC. */
export function timeOfDay(moment: number, offset: number): string {
  const day = 86_400_000;
  const of = (((moment + offset) % day) + day) % day;
  return `${pad(Math.floor(of / 3_600_000))}:${pad(Math.floor(of / 60_000) % 60)}:${pad(Math.floor(of / 1000) % 60)}`;
}

/** The day of a UTC moment, so far ahead of UTC. */
export function day(moment: number, offset: number): string {
  const date = new Date(moment + offset);
  return Number.isFinite(date.getTime()) ? date.toISOString().slice(0, 10) : "";
}

export const seconds = (milliseconds: number): string => `${(milliseconds / 1000).toFixed(1)} s`;
export const feet = (metres: number): string => `${Math.round(metres / 0.3048)} ft`;
export const knots = (speed: number): string => `${Math.round((speed * 3600) / 1852)} kt`;
export const miles = (metres: number): string => `${(metres / 1852).toFixed(2)} NM`;
export const bearing = (degrees: number): string =>
  `${String(Math.round(degrees) % 360).padStart(3, "0")}°`;

/** So much to spare, or too long by so much. */
export function slack(milliseconds: number): string {
  return milliseconds < 0
    ? `${seconds(-milliseconds)} too long`
    : `${seconds(milliseconds)} to spare`;
}

/** Names that are quoted as in a program's messages, as people quote them. */
export function quoted(text: string): string {
  return text.replace(/`([^`]*)`/g, "“$1”");
}

/** Why a sight is not filmed, without saying that once more. */
export function hindrance(text: string): string {
  return quoted(text).replace(/^Not filmed: /, "");
}

/** How a sight is lit. */
export function lit(light: SightLight): string {
  const words = light.lit === "dark" ? "dark" : `${light.lit}-lit`;
  const glare = light.sun_in_lens > 0 ? `, sun in the lens for ${seconds(light.sun_in_lens)}` : "";
  return words + glare;
}

/** A number of things. */
export function counted(number: number, thing: string): string {
  return `${number} ${thing}${number === 1 ? "" : "s"}`;
}
