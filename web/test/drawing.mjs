// SPDX-License-Identifier: MIT
// drawing.mjs: what is drawn against what the server computed.
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { build } from "esbuild";
import { check, example, open, root, same, verdictsAre } from "./rig.mjs";

const OUT_LEAST = 1e-12; // m3/s: less is rounding of a closed balance

/** How the tool itself writes a number. */
const written = (server, value, dimension) => server.ask(`/api/format?value=${value}&dimension=${dimension}`).then(f => f.si);

/** The gaps as drawn: place of the slit, the arrows, the ends of the streaks, in px of the drawing. */
const drawnGaps = page => page.$$eval(".scene g.gap", all => all.map(g => {
  const ends = p => { const n = p.getTotalLength(), a = p.getPointAtLength(0), b = p.getPointAtLength(n); return { from: [a.x, a.y], to: [b.x, b.y] }; };
  const one = c => { const p = g.querySelector(c); return p ? ends(p) : null; };
  return {
    out: g.classList.contains("out"), arrows: g.querySelectorAll(".outward path").length, word: g.querySelector(".outward text")?.textContent ?? null,
    inward: one(".streak.in"), outward: one(".streak.out"), label: g.querySelector(".badge").getAttribute("aria-label"),
  };
}));

const boxDrawn = page => page.$eval(".scene .box rect", r => ({ x: +r.getAttribute("x"), y: +r.getAttribute("y"), w: +r.getAttribute("width"), h: +r.getAttribute("height") }));
const inside = (b, [x, y], slack = 0) => x > b.x - slack && x < b.x + b.w + slack && y > b.y - slack && y < b.y + b.h + slack;

async function stateDrawn(page, server, state, parts) {
  const name = `${state.job}: ${state.state}`;
  const gaps = await drawnGaps(page), box = await boxDrawn(page);
  const leaking = state.gaps.filter(g => g.out_m3s > OUT_LEAST).map(g => g.name);
  same(`${name}: marked OUT are exactly the gaps that leak outward`, gaps.map((g, i) => g.out ? state.gaps[i].name : null).filter(Boolean), leaking);
  for (const [i, g] of gaps.entries()) {
    const flow = state.gaps[i], leaks = flow.out_m3s > OUT_LEAST, face = parts.box.gaps[i].face;
    check(`${name}: ${flow.name}: arrows and the word OUT, without colour, if it leaks`, leaks ? g.arrows === 2 && g.word === "OUT" : g.arrows === 0 && g.word === null, g);
    check(`${name}: ${flow.name}: its button says so`, g.label.includes(leaks ? "leaks outward" : "inward") && g.label.includes(flow.name), g.label);
    if (face === "left" || face === "right" || flow.inward_velocity_ms === null) continue; // in the plane of the paper; or of no known speed
    if (flow.in_m3s > OUT_LEAST) check(`${name}: ${flow.name}: streaks inward come from outside`, g.inward && !inside(box, g.inward.from) && inside(box, g.inward.to, 1), g);
    if (leaks) check(`${name}: ${flow.name}: streaks outward go outside`, g.outward && inside(box, g.outward.from, 1) && !inside(box, g.outward.to), g);
    else check(`${name}: ${flow.name}: nothing is drawn outward`, g.outward === null);
  }
  const rows = await page.$$eval("table.gaps tbody tr", all => all.map(r => [...r.children].map(c => c.textContent)));
  for (const [i, row] of rows.entries()) {
    const f = state.gaps[i], leaks = f.out_m3s > OUT_LEAST;
    const want = [`${i + 1} ${f.name}`, `${leaks ? "⇉ OUT" : "in"} ${await written(server, leaks ? f.out_m3s : f.in_m3s, "volume_flow")}`,
      await written(server, f.inward_at_bottom_Pa, "pressure"), await written(server, f.inward_at_top_Pa, "pressure")];
    same(`${name}: ${f.name}: flow and pressures in the table`, row.slice(0, 4), want);
  }
  same(`${name}: a row for each gap`, rows.length, state.gaps.length);
  const tags = (await page.$$eval(".scene .cleaner text, .scene .box text", all => all.map(t => t.textContent)));
  const said = [["volume_flow", state.cleaner_flow_m3s], ["temperature", state.box_temperature_K], ["pressure", state.box_pressure_Pa]];
  for (const [dimension, value] of parts.cleaner ? said : said.slice(1)) {
    const text = await written(server, value, dimension);
    check(`${name}: ${dimension} ${text} stands in the drawing`, tags.some(t => t.includes(text)), tags);
  }
  for (const s of parts.cleaner ? state.stages : []) {
    const gain = s.rise_Pa ?? -s.loss_Pa, text = `${gain > 0 ? "+" : "−"}${await written(server, Math.abs(gain), "pressure")}`;
    check(`${name}: ${s.name}: ${text}`, tags.includes(text), tags);
  }
  const alarm = await page.textContent(".picture .facts");
  check(`${name}: the words above the drawing name them`, leaking.length ? leaking.every(n => alarm.includes(n)) : alarm.includes("Every gap leaks inward"), alarm);
}

async function drawn(page, server) {
  const [report, parts] = [await server.ask("/api/check"), await server.ask("/api/parts")];
  same("each state can be chosen", await page.$$eval("#state option", o => o.map(x => x.textContent)), report.states.map(s => `${s.job}: ${s.state}`));
  for (const [i, state] of report.states.entries()) {
    await page.selectOption("#state", { index: i });
    await stateDrawn(page, server, state, parts);
  }
  return { report, parts };
}

/** Words of the drawing lie on it, none beyond its edge. */
const beyond = page => page.$$eval(".scene svg", all => all.flatMap(svg => {
  const edge = svg.getBoundingClientRect();
  return [...svg.querySelectorAll("text, .grip")].flatMap(t => {
    const b = t.getBoundingClientRect();
    return b.left < edge.left - 1 || b.right > edge.right + 1 || b.top < edge.top - 1 || b.bottom > edge.bottom + 1 ? [t.textContent || t.parentElement.getAttribute("aria-label")] : [];
  });
}));

const designs = readdirSync(join(root, "examples")).filter(f => f.endsWith(".yaml")).map(f => f.slice(0, -5));

export const drawing = {};
for (const name of designs) drawing[`drawing of ${name}`] = async inward => {
  const { page, server } = await open(inward, example(name));
  await drawn(page, server);
  await verdictsAre(page, server, name, example(name));
  for (const width of [360, 900, 1400]) {
    await page.setViewportSize({ width, height: 800 });
    await page.waitForFunction(() => {
      const room = document.querySelector(".picture .scene").clientWidth;
      return Math.abs(Math.max(300, Math.min(980, room)) - document.querySelector(".picture svg").clientWidth) <= 1;
    });
    same(`nothing of the drawing is cut off at ${width} px`, await beyond(page), []);
  }
};

/** The lines of the first list of gaps replaced. */
const withGaps = (text, gaps) => text.replace(/( {2}gaps:\n)(?: {4}.*\n| {7}.*\n)+/, `$1${gaps.map(g => `    - ${g}\n`).join("")}`);

drawing["all kinds of gap, on all faces, with long names"] = async inward => {
  const long = "a seam whose name is much longer than anybody would ever write beside a drawing";
  const design = withGaps(example("splint-night"), [
    `{name: ${long}, kind: crack, face: top, height: 600 mm, length: 2 m, width: 0.5 mm (0.3 .. 0.8 mm), depth: 10 mm}`,
    "{name: front slot, kind: opening, face: front, height: 100 mm, rise: 200 mm, width: 2 mm}",
    "{name: left hole, kind: hole, face: left, height: 300 mm, diameter: 8 mm, count: 3}",
    "{name: right hole, kind: hole, face: right, height: 200 mm, diameter: 8 mm}",
    "{name: back holes, kind: hole, face: back, height: 50 mm, diameter: 10 mm, count: 2}",
    "{name: floor crack, kind: crack, face: bottom, height: 0 mm, length: 1 m, width: 0.3 mm, depth: 12 mm}",
    "{name: measured seams, kind: measured, face: front, height: 300 mm, flow: 0.2 m3/h, at: 10 Pa, exponent: 0.6}",
  ]).replace("title: Splint", "title: An extraordinarily long title of a box which stands where nobody expected it and whose-name-cannot-be-broken-anywhere-at-all-though-it-is-long; Splint");
  const { page, server } = await open(inward, design);
  const { parts } = await drawn(page, server);
  same("seven gaps", parts.box.gaps.length, 7);
  await page.setViewportSize({ width: 360, height: 740 });
  same("nothing is cut off on a phone", await beyond(page), []);
};

drawing["air that stands still, or is not known, is not called inward"] = async inward => {
  const { page } = await open(inward, example("splint-night-mended"));
  check("as it is all goes inward", (await page.textContent(".picture .facts")).includes("Every gap leaks inward"));
  const altered = { "floor seam": { in_m3s: 0, out_m3s: 0 }, "make-up hole": { in_m3s: null, out_m3s: null } };
  await page.route("**/api/check", async route => {
    const reply = await route.fetch(), report = await reply.json();
    for (const g of report.states[0].gaps) Object.assign(g, altered[g.name]);
    await route.fulfill({ response: reply, json: report });
  });
  await page.reload();
  await page.waitForSelector(".scene svg");
  const said = await page.textContent(".picture .facts"), labels = await page.$$eval(".badge", all => all.map(b => b.getAttribute("aria-label")));
  check("the words above the drawing", !said.includes("Every gap") && said.includes("nothing draws air in at: floor seam."), said);
  check("the gaps' own words", labels.some(l => l.includes("floor seam: no air moves")) && labels.some(l => l.includes("make-up hole: unknown")), labels);
  const rows = await page.$$eval("table.gaps tbody tr", all => all.map(r => r.textContent));
  check("the table", rows.some(r => r.includes("floor seamno air moves")) && rows.some(r => r.includes("make-up holeunknown")), rows);
};

drawing["a design without a cleaner"] = async inward => {
  const design = example("splint-night").replace(/^cleaner:\n(?: .*\n)+/m, "");
  const { page, server } = await open(inward, design);
  const { parts } = await drawn(page, server);
  same("no cleaner", [parts.cleaner, await page.$$eval(".cleaner", c => c.length)], [null, 0]);
  await verdictsAre(page, server, "without cleaner", design);
};

drawing["the rooms are listed as computed, in each state"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"));
  const [report, parts] = [await server.ask("/api/check"), await server.ask("/api/parts")];
  let list = [];
  for (const [n, state] of report.states.entries()) {
    await page.selectOption("#state", { index: n });
    list = await page.$$eval(".rooms li", all => all.map(l => l.textContent));
    for (const [i, r] of state.rooms.entries()) {
      const want = [r.name, await written(server, r.temperature_K, "temperature"), await written(server, r.pressure_Pa, "pressure")];
      check(`${state.state}: ${r.name}: temperature and pressure`, want.every(w => list[i].includes(w)), [list[i], want]);
    }
  }
  check("people are named where they are", parts.people.every(p => list.some(l => l.includes(p.name))), list);
};

drawing["why tells of the number that is shown, in each state that it knows"] = async inward => {
  const { page, server } = await open(inward, example("craft-room"));
  const { states } = await server.ask("/api/check");
  for (const [i, s] of states.entries()) {
    await page.selectOption("#state", { index: i });
    const numbers = page.locator(":is(.picture, .house) button.number"), designed = s.state === "as designed", many = await numbers.count();
    same(`${s.job}, ${s.state}: numbers can be asked about only as designed`, many > 0, designed);
    for (let k = 0; k < many; k++) {
      const shown = await numbers.nth(k).textContent();
      await numbers.nth(k).click();
      await page.waitForSelector("dialog[open]");
      const told = await page.textContent("dialog pre"), value = /-?[\d.]+(e-?\d+)? \S+$/.exec(shown)[0];
      check(`${s.job}: ${shown}`, told.split("\n")[0].includes(`= ${value}`), told.slice(0, 200));
      await page.keyboard.press("Escape");
      await page.waitForSelector("dialog[open]", { state: "detached" });
    }
  }
  same("both jobs were asked about", new Set(states.filter(s => s.state === "as designed").map(s => s.job)).size, 2);
};

/** The contrast of WCAG 2, between 1 and 21, of colours as the browser paints them. */
const painter = `
  globalThis.luminance = colour => {
    const context = globalThis.pot ??= document.createElement("canvas").getContext("2d", { willReadFrequently: true });
    context.fillStyle = colour;
    context.fillRect(0, 0, 1, 1);
    const [r, g, b] = [...context.getImageData(0, 0, 1, 1).data].map(x => { const s = x / 255; return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4; });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  globalThis.contrast = (a, b) => (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
`;
const contrasts = page => page.evaluate(painter).then(() => page.evaluate(() => {
  const { luminance: light, contrast: ratio } = globalThis;
  const of = e => getComputedStyle(e).fill;
  const sheet = getComputedStyle(document.querySelector(".picture")).backgroundColor, box = document.querySelector(".scene .box rect");
  return {
    words: [...document.querySelectorAll(".scene .box text[fill]")].map(t => [t.textContent, ratio(light(of(t)), light(of(box)))]),
    sheet: [...document.querySelectorAll(".scene text.tag, .scene .outward text, .scene .chip text, .scene .side, .scene .scale text")].map(t => [t.textContent, ratio(light(of(t)), light(sheet))]),
    marks: [...document.querySelectorAll(".outward path:not(.second), .grip")].map(t => [t.parentElement.parentElement.getAttribute("class"), ratio(light(of(t)), light(sheet))]),
  };
}));

drawing["contrast in the drawing"] = async inward => {
  for (const colorScheme of ["light", "dark"]) {
    const { page } = await open(inward, example("splint-night"), { colorScheme });
    const found = await contrasts(page);
    for (const [what, least] of [["words", 4.5], ["sheet", 4.5], ["marks", 3]]) {
      check(`${colorScheme}: ${what} at least ${least}`, found[what].length > 0 && found[what].every(([, r]) => r >= least), found[what].filter(([, r]) => r < least));
    }
  }
};

drawing["ink on each temperature, and lightness rises with it"] = async inward => {
  const { page } = await open(inward, example("splint-night"));
  const built = await build({ stdin: { contents: 'export * from "./colour"', resolveDir: join(root, "web/src"), loader: "ts" }, bundle: true, write: false, format: "iife", globalName: "colour" });
  await page.evaluate(`${built.outputFiles[0].text}; globalThis.colour = colour`);
  await page.evaluate(painter);
  const rows = await page.evaluate(() => Array.from({ length: 121 }, (_, i) => {
    const T = 263.15 + i, ground = globalThis.luminance(globalThis.colour.temperatureColour(T));
    return { T, ground, ratio: globalThis.contrast(ground, globalThis.luminance(globalThis.colour.inkOn(T))) };
  }));
  same("ink has a contrast of 4.5", rows.filter(r => r.ratio < 4.5), []);
  check("warmer is lighter", rows.slice(10, 111).every((r, i, all) => i === 0 || r.ground > all[i - 1].ground));
};

drawing["air moves the way it flows, and can be held still"] = async inward => {
  const { page } = await open(inward, example("splint-night"), { reducedMotion: "no-preference" });
  const offset = () => page.$eval(".streak.out", p => parseFloat(getComputedStyle(p).strokeDashoffset));
  const one = await offset();
  await page.waitForFunction(was => parseFloat(getComputedStyle(document.querySelector(".streak.out")).strokeDashoffset) < was, one);
  check("a falling offset moves dashes along their path, here outward", await offset() < one);
  await page.getByRole("button", { name: "Hold the air still" }).click();
  await page.waitForSelector("text=Let the air move");
  const frames = await page.evaluate(() => new Promise(done => requestAnimationFrame(() => {
    const before = [...document.querySelectorAll(".streak")].map(p => p.style.strokeDashoffset);
    requestAnimationFrame(() => requestAnimationFrame(() => done([...document.querySelectorAll(".streak")].map((p, i) => p.style.strokeDashoffset === before[i]))));
  })));
  check("held still", frames.length > 3 && frames.every(Boolean));
};

drawing["prefers-reduced-motion: no frame is asked for"] = async inward => {
  const { page } = await open(inward, example("splint-night"), { wait: false });
  await page.addInitScript(() => {
    globalThis.framesAsked = 0;
    const ask = globalThis.requestAnimationFrame;
    globalThis.requestAnimationFrame = f => { globalThis.framesAsked++; return ask(f); };
  });
  await page.reload();
  await page.waitForSelector(".scene svg .streak");
  const before = await page.evaluate(() => globalThis.framesAsked);
  await page.evaluate(() => new Promise(done => setTimeout(done, 300)));
  same("none after the page stands", await page.evaluate(() => globalThis.framesAsked) - before, 0);
  check("and the page says that the air stands still", await page.getByRole("button", { name: "Let the air move" }).isVisible());
};
