// SPDX-License-Identifier: MIT
// charts.mjs: what can be looked at beside the verdicts: it follows the hand, says what the server says, and can be stopped.
import { accessible, check, draft, example, fitsAcross, handle, open, same, stepped } from "./rig.mjs";

const FLAP = "cleaner.split.flap.position", SPEED = "cleaner.stages[3 blower].speed", HOLES = "box.gaps[cable holes].diameter";

const tab = (page, id) => page.click(`#tab-${id}`);
const listedIn = (page, panel) => page.$$eval(`${panel} .verdicts summary`, all => all.map(s => s.querySelector(".word").textContent.replace(/^\S /, "")
  + " " + s.querySelector(".numbers").textContent));
const saidBy = words => words.verdicts.map(v => `${v.word} ${[v.value, v.limit, v.margin && `margin ${v.margin}`].filter(Boolean).join("; ")}`).sort();

/** The panel's verdicts are those of this text; waits for them. */
async function wordsOf(page, server, what, path, panel, text) {
  const told = await server.ask(`${path}?words=yes&units=si`, { text }), want = saidBy(told.words);
  await page.waitForFunction(([panel, first]) => [...document.querySelectorAll(`${panel} .verdicts .numbers`)].some(n => first.endsWith(n.textContent)), [panel, want[0]]);
  const now = (await listedIn(page, panel)).sort();
  same(`${what}: the verdicts are those of the server`, now, want);
  return told.report;
}

export const charts = {};

charts["the tabs by keys, each opened, none in trouble"] = async inward => {
  const { page } = await open(inward, example("splint-night"));
  await page.focus("#tab-operating");
  const ids = await page.$$eval("[role=tab]", t => t.map(x => x.id.slice(4)));
  for (const id of [...ids.slice(1), ids[0]]) {
    await page.keyboard.press("ArrowRight");
    check(`${id}: arrow, focus and panel`, await page.evaluate(i => document.activeElement.id === `tab-${i}` && !document.getElementById(`panel-${i}`).hidden, id));
  }
  await page.keyboard.press("End");
  check("End", await page.evaluate(i => document.activeElement.id === `tab-${i}`, ids[ids.length - 1]));
  await tab(page, "day");
  await page.waitForSelector("#panel-day .verdicts li");
  same("no trouble", await page.$$eval(".bench .trouble", t => t.map(x => x.textContent)), []);
};

charts["the day follows a drag"] = async inward => {
  const first = example("splint-night"), { page, server } = await open(inward, first);
  await tab(page, "day");
  const before = await wordsOf(page, server, "as loaded", "/api/day", "#panel-day", first);
  const box = page.locator("#panel-day .legend li").first();
  const peak = async (nth = 0) => page.locator("#panel-day .chart").nth(nth).getAttribute("aria-label");
  const said = await peak(2);
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("End"));
  const text = await draft(page), day = await wordsOf(page, server, "the flap at its end", "/api/day", "#panel-day", text);
  check("the curves are others", await peak(2) !== said && JSON.stringify(day.series) !== JSON.stringify(before.series), [said, await peak(2)]);
  const T = day.series.columns.find(c => c.name === "box.temperature"), most = Math.max(...T.values_K);
  check("the first chart says the hottest box", (await peak()).includes((await server.ask(`/api/format?value=${most}&dimension=temperature`)).si), [most, await peak()]);
  const value = await box.textContent();
  await page.focus("#day-when");
  for (let i = 0; i < 6; i++) await page.keyboard.press("PageUp");
  check("values follow the time that is chosen", await box.textContent() !== value, value);
};

charts["where the day begins, and why; two days are called so"] = async inward => {
  for (const [name, days] of [["houseboat-bench", "two days"], ["splint-night-choose", "day"], ["craft-room", "day"]]) {
    const { page, server } = await open(inward, example(name));
    await tab(page, "day");
    await page.waitForSelector("#panel-day .begins");
    const { report, words } = await server.ask("/api/day?words=yes"), said = await page.textContent("#panel-day .begins");
    const span = (await server.ask(`/api/format?value=${report.span_s}&dimension=time`)).si, clock = report.start_clock_s / 3600;
    const at = `${days === "day" ? "" : "day 1, "}${String(Math.floor(clock)).padStart(2, "0")}:${String(clock % 1 * 60).padStart(2, "0")}`;
    check(`${name}: from when, and how long`, said.startsWith(`Begins ${at}, ${span} are followed`), said);
    same(`${name}: one of each kind, or this is no test`, report.begins === null, name === "craft-room");
    check(`${name}: why then`, report.begins === null || said.includes(report.begins), said);
    check(`${name}: that best estimates are not the bad end`, said.includes("bad end"), said);
    const all = await page.textContent("#panel-day"), labels = await page.$$eval("#panel-day [aria-label]", e => e.map(x => x.getAttribute("aria-label")).join("; "));
    check(`${name}: called the ${days}`, all.includes(`Verdicts of the ${days}`) && labels.includes(`over the ${days}`) && (days === "day" || !/(of|over) the day\b/.test(labels)), labels);
    same(`${name}: each caution and the disclaimer beside it`, [...words.cautions, words.disclaimer].filter(c => !all.includes(c)), []);
    await page.focus("#day-when");
    await page.keyboard.press("End");
    check(`${name}: of several days the end says which`, /^day 3, /.test(await page.getAttribute("#day-when", "aria-valuetext")) === (days !== "day"));
  }
};

charts["a run that is stopped stays stopped, and what is of an older text says so"] = async inward => {
  const { page } = await open(inward, example("splint-night"), { expect: /ERR_ABORTED|422/ });
  await tab(page, "day");
  await page.waitForSelector("#panel-day .verdicts li");
  let asked = 0, hold = true;
  await page.route("**/api/day?*", async route => { asked++; if (hold) await new Promise(done => setTimeout(done, 4000)); await route.continue().catch(() => {}); });
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("End"));
  await page.locator("#panel-day .under-way button").click();
  await page.waitForSelector("#panel-day .starter strong");
  check("the curves are said to be of an earlier text", (await page.textContent("#panel-day .starter")).includes("earlier text"));
  const before = asked;
  await page.waitForTimeout(600); // longer than a hand rests
  check("it is not asked again by itself", asked === before && await page.locator("#panel-day .under-way").count() === 0, asked);
  hold = false;
  await page.getByRole("button", { name: "Go on" }).click();
  await page.waitForSelector("#panel-day .starter", { state: "detached" });
  await page.route("**/api/day?*", route => route.fulfill({ status: 422, json: { error: { code: "not_converged", message: "no solution was found" }, diagnostics: [] } }));
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("PageDown")); // not back to the first text, of which there is an answer
  await page.waitForSelector("#panel-day .trouble");
  same("of a design that cannot be followed nothing older is shown", await page.locator("#panel-day :is(.verdicts, .chart)").count(), 0);
};

charts["months on the carbon"] = async inward => {
  const first = example("splint-night-mended"), { page, server } = await open(inward, first);
  await tab(page, "life");
  await page.getByRole("button", { name: "Follow the months" }).click();
  await wordsOf(page, server, "the months", "/api/life", "#panel-life", first);
  await page.selectOption("#units", "us");
  await page.waitForFunction(() => document.querySelector("#panel-life .verdicts").textContent.includes("degF"));
  const us = saidBy((await server.ask("/api/life?words=yes&units=us", { text: first })).words);
  same("in the units that are chosen then", (await listedIn(page, "#panel-life")).sort(), us);
  await page.selectOption("#units", "si");
  await page.waitForFunction(() => !document.querySelector("#panel-life .verdicts").textContent.includes("degF")); // some numbers are alike in both
  await wordsOf(page, server, "and back", "/api/life", "#panel-life", first);
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("PageDown"));
  check("it says that it is of an earlier text", (await page.textContent("#panel-life .starter")).includes("earlier text"));
};

charts["odds are drawn, and a run is stopped"] = async inward => {
  const first = example("splint-night"), { page, server } = await open(inward, first, { expect: /ERR_ABORTED/ });
  await tab(page, "odds");
  await page.selectOption("#panel-odds select", { index: 2 });
  await Promise.all([page.waitForRequest(/\/api\/odds/), page.getByRole("button", { name: "Draw the odds" }).click()]);
  // The browser may tell of the ended request after the page has its button back.
  const ended = page.waitForEvent("requestfailed", r => r.url().includes("/api/odds")).then(() => true, () => false);
  await page.getByRole("button", { name: "Stop", exact: true }).click();
  await page.getByRole("button", { name: "Draw the odds" }).waitFor();
  check("the request was ended", await ended);
  check("nothing is shown of it", await page.locator("#panel-odds ol.odds").count() === 0 && await page.locator("#panel-odds .trouble").count() === 0);
  await page.selectOption("#panel-odds select", { index: 0 });
  const [request] = await Promise.all([page.waitForRequest(/\/api\/odds/), page.getByRole("button", { name: "Draw the odds" }).click()]);
  await page.waitForSelector("#panel-odds ol.odds li");
  const told = await server.ask("/api/odds", request.postDataJSON());
  const want = told.verdicts.filter(v => v.met !== null).map(v => `${Number((v.met * 100).toFixed(1))}`).sort();
  const matters = page.locator("#panel-odds li > button.number"), many = await matters.count();
  check("some input matters, or this is no test", many > 0);
  for (let i = 0; i < many; i++) {
    const [reply] = await Promise.all([page.waitForResponse(/\/api\/why/), matters.nth(i).click()]);
    same(`why ${await matters.nth(i).textContent()}`, reply.status(), 200);
    await page.waitForSelector("dialog[open]");
    await page.keyboard.press("Escape");
    await page.waitForSelector("dialog[open]", { state: "detached" });
  }
  same("each chance is the server's", await page.$$eval("#panel-odds ol.odds b", b => b.map(x => x.textContent.split(/[ \u00b1%]/)[0])).then(x => x.sort()), want);
};

charts["a map, and the design moved to a point of it"] = async inward => {
  const first = example("splint-night"), { page } = await open(inward, first);
  await tab(page, "map");
  await page.locator("#panel-map select").nth(0).selectOption(FLAP);
  await page.locator("#panel-map select").nth(1).selectOption(SPEED);
  await page.getByRole("button", { name: "Draw the map" }).click();
  await page.waitForSelector("#map-0");
  await page.focus("#map-0");
  await page.keyboard.press("End");
  await stepped(page, () => page.getByRole("button", { name: "Move the design to this point" }).click());
  const text = await draft(page);
  check("the flap is at its end, the speed where it was nearest", /position: 100 %/.test(text), text.match(/position: .*/)?.[0]);
  await page.locator("#panel-map select").nth(1).selectOption("");
  await page.getByRole("button", { name: "Draw the map" }).click();
  await page.waitForSelector("#panel-map .chart canvas");
  same("no trouble", await page.$$eval("#panel-map .trouble", t => t.map(x => x.textContent)), []);
};

charts["a map of numbers that another design has not"] = async inward => {
  const { page } = await open(inward, example("splint-night"));
  await tab(page, "map");
  await page.locator("#panel-map select").nth(0).selectOption(HOLES);
  await page.getByRole("button", { name: "Draw the map" }).click();
  await page.waitForSelector("#map-0");
  const silent = await page.locator("#panel-map .said + p").textContent();
  check("margins have words", silent.includes("Margins at best estimates"), silent);
  await tab(page, "text");
  await page.fill("#design-text", example("craft-room"));
  await stepped(page, () => page.getByRole("button", { name: "Judge this text" }).click());
  await tab(page, "map");
  await page.waitForFunction(gone => document.querySelector("#panel-map select").value !== gone, HOLES);
  same("nothing of the other is shown", await page.locator("#panel-map .plane").count(), 0);
  await page.getByRole("button", { name: "Draw the map" }).click();
  await page.waitForSelector("#map-0");
  same("no trouble", await page.$$eval("#panel-map .trouble", t => t.map(x => x.textContent)), []);
};

charts["a map moves the design by pointer, and still holds"] = async inward => {
  const { page } = await open(inward, example("splint-night"));
  let maps = 0;
  page.on("request", r => { if (r.url().endsWith("/api/map")) maps++; });
  await tab(page, "map");
  await page.getByRole("button", { name: "Draw the map" }).click();
  const plane = page.locator("#panel-map .plane svg");
  await plane.waitFor();
  check("moved, and called so", (await stepped(page, () => plane.click({ position: { x: 400, y: 60 } }))).includes("moved on the map"));
  await page.focus("#map-0");
  await page.keyboard.press("ArrowLeft");
  await stepped(page, () => page.getByRole("button", { name: "Move the design to this point" }).press("Enter"));
  await page.waitForTimeout(800); // longer than a quick map waits to be drawn anew
  check("one map, and it is not called old", maps === 1 && !(await page.textContent("#panel-map .starter")).includes("earlier"), maps);
};

charts["the operating point is that of the state that is drawn, in the reader's units"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"));
  const { states } = await server.ask("/api/check");
  const is = async (i, units) => {
    const want = `moves ${(await server.ask(`/api/format?value=${states[i].operating_flow_m3s}&dimension=volume_flow`))[units]} against`;
    const said = await page.locator("#panel-operating > p", { hasText: "The blower moves" }).textContent();
    check(`${states[i].state}, ${units}`, said.includes(want), [said, want]);
  };
  await is(0, "si");
  await page.selectOption("#panel-operating select", { index: 2 });
  await is(2, "si");
  same("the drawing goes along", await page.$eval("#state", s => s.selectedIndex), 2);
  await page.selectOption("#units", "us");
  await is(2, "us");
};

charts["a day that no server answers is asked again when one does"] = async inward => {
  const { page } = await open(inward, example("splint-night"), { expect: /ERR_CONNECTION_REFUSED/ });
  let asked = 0;
  await page.route("**/api/day?*", route => ++asked === 1 ? route.abort("connectionrefused") : route.continue());
  await tab(page, "day");
  await page.locator(".notice", { hasText: "does not answer" }).waitFor();
  await page.waitForSelector("#panel-day .chart canvas");
  same("twice", asked, 2);
};

charts["kept and compared"] = async inward => {
  const first = example("splint-night"), { page, server } = await open(inward, first);
  await page.click("#keep");
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("End"));
  const text = await draft(page);
  await tab(page, "compare");
  await page.waitForSelector("#panel-compare table");
  const told = await server.ask("/api/compare", { designs: [{ name: "kept", text: first }, { name: "now", text }] });
  check("how many are better and worse", (await page.textContent("#panel-compare .said")).startsWith(`${told.designs[1].better} better, ${told.designs[1].worse} worse`), await page.textContent("#panel-compare .said"));
  await stepped(page, () => page.getByRole("button", { name: /^Back to what was/ }).click());
  check("and back", await draft(page) === first);
};

charts["numbers and text are typed"] = async inward => {
  const first = example("splint-night"), { page } = await open(inward, first, { expect: /422/ });
  await tab(page, "numbers");
  const field = page.getByLabel(FLAP, { exact: true });
  await field.fill("40 %");
  await stepped(page, () => field.press("Enter"));
  check("a number", await draft(page) === first.replace("position: 0 %", "position: 40 %"));
  await field.fill("wide open");
  await field.press("Enter");
  await page.waitForSelector("#panel-numbers .wrong");
  check("a wrong one is said at its field, and not taken", await field.getAttribute("aria-invalid") === "true" && (await draft(page)).includes("position: 40 %"));
  await accessible(page, "a wrong number");
  await tab(page, "text");
  await page.fill("#design-text", first.replace("speed: 70 %", "speed: 75 %"));
  await stepped(page, () => page.getByRole("button", { name: "Judge this text" }).click());
  check("a text", await draft(page) === first.replace("speed: 70 %", "speed: 75 %"));
  await page.fill("#design-text", first.replace("floor: 9 m2", "floor: 9 kg"));
  await page.getByRole("button", { name: "Judge this text" }).click();
  const line = page.getByRole("button", { name: "line 16, column 12" });
  await line.click();
  check("a fault in it leads to its line", await page.$eval("#design-text", a => a.value.slice(a.selectionStart, a.selectionEnd)) === "9 kg");
  await accessible(page, "a wrong text");
};

for (const [how, options] of Object.entries({ "wide and light": {}, "on a phone in the dark": { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true, colorScheme: "dark" } })) {
  charts[`axe: what stands beside the verdicts, ${how}`] = async inward => {
    const { page } = await open(inward, example("splint-night"), options);
    const ready = { operating: ".chart canvas", day: ".verdicts li", life: ".verdicts li", odds: "ol.odds li", map: "#map-0", compare: "table, .said", numbers: "fieldset", text: "textarea" };
    await page.click("#keep");
    for (const [id, there] of Object.entries(ready)) {
      await tab(page, id);
      if (id === "odds") await page.selectOption("#panel-odds select", { index: 0 });
      if (["life", "odds", "map"].includes(id)) await page.locator(`#panel-${id} .starter button`).click();
      await page.waitForSelector(`#panel-${id} :is(${there})`);
      await accessible(page, `${how}, ${id}`);
      await fitsAcross(page, `${how}, ${id}`);
    }
  };
}
