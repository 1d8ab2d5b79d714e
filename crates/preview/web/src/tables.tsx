// The same as tables: for whoever reads them, prints them, or hears them read.

import type { JSX } from "preact";

import type { Talk } from "./app";
import { To } from "./glance";
import type { Model } from "./model";
import { hindrance, lit, miles, quoted, seconds, since, slack } from "./words";

interface Props {
  model: Model;
  side: number;
  talk: Talk;
  label: string;
}

export function Tables({ model, side, talk, label }: Props): JSX.Element {
  const of = label === "" ? "" : ` ${label}`;
  return (
    <section class="tables" aria-label={`tables${of}`}>
      <Sights model={model} side={side} talk={talk} label={of} />
      <Narrations model={model} side={side} talk={talk} label={of} />
      <Findings model={model} side={side} talk={talk} label={of} />
    </section>
  );
}

function Sights({ model, side, talk, label }: Props): JSX.Element | null {
  const { sights, places, cameras, zero } = model.side;
  if (sights.length === 0) return null;
  return (
    <div class="scroll">
      <table>
        <caption>Sights{label}</caption>
        <thead>
          <tr>
            <th scope="col">Sight</th>
            <th scope="col">Filmed</th>
            <th scope="col">How, or what hindered it</th>
            <th scope="col" class="number">In live picture</th>
            <th scope="col" class="number">In any</th>
            <th scope="col">Best moment</th>
            <th scope="col">Sun to the sight</th>
          </tr>
        </thead>
        <tbody>
          {sights.map((sight) => {
            const place = places[sight.place];
            const best = sight.best;
            return (
              <tr key={sight.place} class={sight.filmed ? "" : "wrong"}>
                <th scope="row">
                  {place?.title}
                  {place?.wanted?.must_have ? <span class="tag">must-have</span> : null}
                </th>
                <td data-of="filmed">{sight.filmed ? "✓ yes" : "✕ no"}</td>
                <td>{hindrance(sight.words)}</td>
                <td class="number" data-of="in the live picture">{seconds(sight.in_live)}</td>
                <td class="number" data-of="in any">{seconds(sight.in_any)}</td>
                <td data-of="best moment">
                  {best ? (
                    <>
                      <To talk={talk} side={side} zero={zero} at={best.at} /> {cameras[best.camera]?.name},{" "}
                      {miles(best.distance)}
                    </>
                  ) : (
                    "never in a picture"
                  )}
                </td>
                <td data-of="light">{sight.light ? lit(sight.light) : ""}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

function Narrations({ model, side, talk, label }: Props): JSX.Element | null {
  const { tellings, untold, narrations, rules, zero, fits } = model.side;
  if (tellings.length + untold.length === 0) return null;
  const tightest = new Map(fits.map((fit) => [fit.narration, fit.tightest]));
  return (
    <div class="scroll">
      <table>
        <caption>Narrations{label}, in order</caption>
        <thead>
          <tr>
            <th scope="col" class="number">No.</th>
            <th scope="col">Narration</th>
            <th scope="col">Starts</th>
            <th scope="col" class="number">Length</th>
            <th scope="col">Fits</th>
            <th scope="col">In any wind expected</th>
            <th scope="col">Rule</th>
          </tr>
        </thead>
        <tbody>
          {tellings.map((telling, number) => {
            const told = narrations[telling.narration];
            const wrong = telling.cut_off !== null || (telling.window?.slack ?? 0) < 0;
            const worst = tightest.get(telling.narration);
            return (
              <tr key={number} class={wrong ? "wrong" : ""}>
                <td class="number" data-of="no.">{number + 1}</td>
                <th scope="row">{told?.name}</th>
                <td data-of="starts"><To talk={talk} side={side} zero={zero} at={telling.from} /></td>
                <td class="number" data-of="length">{seconds(told?.length ?? 0)}</td>
                <td data-of="fits">
                  {telling.cut_off === null ? "" : `✕ cut off: ${quoted(telling.cut_off)}; `}
                  {telling.window
                    ? `${telling.window.slack < 0 ? "✕ no" : "✓ yes"}, ${slack(telling.window.slack)}, then ${quoted(telling.window.spoiler)}`
                    : telling.cut_off === null
                      ? "told to its end"
                      : ""}
                </td>
                <td data-of="in any wind expected">{worst ? `${slack(worst.slack)} (${worst.condition})` : ""}</td>
                <td data-of="rule">{telling.rule === null ? "" : rules[telling.rule]?.name}</td>
              </tr>
            );
          })}
          {untold.map((it, number) => (
            <tr key={`untold-${number}`} class="wrong">
              <td />
              <th scope="row">{narrations[it.narration]?.name}</th>
              <td data-of="due"><To talk={talk} side={side} zero={zero} at={it.at} /></td>
              <td />
              <td>✕ not told: {quoted(it.why)}</td>
              <td />
              <td data-of="rule">{it.rule === null ? "" : rules[it.rule]?.name}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Findings({ model, side, talk, label }: Props): JSX.Element | null {
  const { findings, zero } = model.side;
  if (findings.length === 0) return null;
  return (
    <div class="scroll">
      <table>
        <caption>Findings{label}</caption>
        <thead>
          <tr>
            <th scope="col">When</th>
            <th scope="col">What</th>
            <th scope="col">What to do</th>
            <th scope="col">Where</th>
          </tr>
        </thead>
        <tbody>
          {findings.map((it, number) => (
            <tr key={number} class={it.severity === "note" ? "" : "wrong"}>
              <td>
                {it.at === null ? (
                  ""
                ) : (
                  <button
                    type="button"
                    class="to"
                    onClick={() => {
                      if (it.at !== null) talk.go(side, it.at);
                      if (it.place) talk.look(side, it.place);
                    }}
                  >
                    {since(it.at - zero)}
                  </button>
                )}
              </td>
              <td>
                <strong>{it.severity}</strong> {quoted(it.headline)} <span class="source">{it.name}</span>
              </td>
              <td data-of="what to do">{quoted(it.help)}</td>
              <td class="source" data-of="where">{it.source}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
