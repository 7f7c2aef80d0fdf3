// SPDX-License-Identifier: MIT
// moving.mjs: numbers taken hold of by mouse, touch and keys; undone, done again, sealed, typed; and what the file's text becomes.
import { check, draft, example, handle, middle, open, same, stepped, stepsOf, verdictsAre } from "./rig.mjs";

const HEIGHT = "box.inside.height", DEPTH = "box.inside.depth", BED = "cleaner.stages[2 carbon].depth", SPEED = "cleaner.stages[3 blower].speed";
const FLAP = "cleaner.split.flap.position", LID = "box.gaps[lid seam].height", SEAM = "box.gaps[lid seam].width";

const INLET = "cleaner.inlet.height", RETURN = "cleaner.return.height";

/** Where to drag each, px; and what may go along. The lid's seam and the ports stay on the box when it shrinks. */
const HANDLES = [
  { path: FLAP, by: [40, 30] },
  { path: SPEED, by: [14, -6] },
  { path: BED, by: [0, 25] },
  { path: HEIGHT, by: [0, 20], along: [LID, INLET, RETURN] },
  { path: DEPTH, by: [30, 0] },
];

/** The numbers that a text writes, each as it stands there; and the text without them. */
async function numbersOf(server, text) {
  const { quantities } = await server.ask("/api/quantities", { text });
  const lines = text.split("\n"), found = new Map(), cuts = [];
  for (const q of quantities) {
    if (q.written === null) continue;
    found.set(q.path, q.written);
    const line = lines[q.line - 1], start = line.indexOf(q.written, q.column - 1);
    cuts.push([q.line - 1, start, start + q.written.length]);
  }
  for (const [line, from, to] of cuts.sort((a, b) => b[0] - a[0] || b[1] - a[1])) lines[line] = lines[line].slice(0, from) + "#" + lines[line].slice(to);
  return { found, rest: lines.join("\n") };
}

/** Between the two texts this number differs, and none else but those that may go along; comments and layout are the same. */
async function onlyMoved(server, what, before, after, path, along = []) {
  const [a, b] = [await numbersOf(server, before), await numbersOf(server, after)];
  const moved = [...a.found.keys()].filter(k => a.found.get(k) !== b.found.get(k));
  check(`${what}: only its number changes`, moved.includes(path) && moved.every(m => m === path || along.includes(m)), moved);
  check(`${what}: comments and layout stay`, a.rest === b.rest && before !== after);
}

async function judged(page, server, what, before, path, along) {
  const text = await draft(page);
  await onlyMoved(server, what, before, text, path, along);
  await verdictsAre(page, server, what, text);
  return text;
}

async function dragByMouse(page, at, [dx, dy], still = async () => {}) {
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  for (let i = 1; i <= 5; i++) {
    await page.evaluate(() => { document.documentElement.dataset.ms = ""; });
    await page.mouse.move(at.x + dx * i / 5, at.y + dy * i / 5);
    await still(at.x + dx * i / 5, at.y + dy * i / 5);
  }
  await page.mouse.up();
}

async function dragByTouch(page, at, [dx, dy]) {
  const wire = await page.context().newCDPSession(page);
  const touch = (type, points) => wire.send("Input.dispatchTouchEvent", { type, touchPoints: points });
  await touch("touchStart", [at]);
  for (let i = 1; i <= 5; i++) await touch("touchMove", [{ x: at.x + dx * i / 5, y: at.y + dy * i / 5 }]);
  await touch("touchEnd", []);
  await wire.detach();
}

/** Every handle in turn, each from the text that the one before has left; then all the way back and forth again. */
async function everyHandle(inward, drag, options) {
  const first = example("splint-night"), { page, server } = await open(inward, first, options);
  const texts = [first];
  for (const h of HANDLES) {
    const grip = handle(page, h.path).locator(".grip");
    const after = await stepped(page, async () => drag(page, await middle(grip), h.by));
    const text = await judged(page, server, h.path, texts[texts.length - 1], h.path, h.along);
    const said = await handle(page, h.path).getAttribute("aria-valuetext");
    check(`${h.path}: the step is named by what it has become`, after.includes(said), [after, said]);
    texts.push(text);
  }
  same("the file is as it was", server.read(), first);
  await chain(page, texts);
}

/** Undo to the first text and redo to the last: the very same texts. A row of keys may have become two steps on a slow machine. */
async function chain(page, texts) {
  const walk = async id => {
    const seen = [await draft(page)];
    while (await page.isEnabled(id)) {
      await stepped(page, () => page.click(id));
      seen.push(await draft(page));
    }
    return seen;
  };
  const undone = await walk("#undo"), redone = await walk("#redo");
  check("undo and redo go by the same texts", redone.length === undone.length && redone.every((t, i) => t === undone[undone.length - 1 - i]));
  check("to the very first and the very last", redone[0] === texts[0] && redone[redone.length - 1] === texts[texts.length - 1]);
  check("by each one between", texts.every(t => redone.includes(t)), texts.map(t => redone.indexOf(t)));
}

export const moving = {};

moving["each handle by mouse"] = inward => everyHandle(inward, dragByMouse);

moving["each handle by touch, on a phone"] = inward =>
  everyHandle(inward, dragByTouch, { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });

moving["each handle by keys"] = async inward => {
  const first = example("splint-night");
  const { page, server } = await open(inward, first, { expect: /422/ }); // a box lower than its door is no design
  await page.evaluate(() => { // a busy machine presses keys more slowly than a hand: the pause that ends a row of them waits for the last
    const later = window.setTimeout;
    window.setTimeout = (act, ms) => later(function ripe() { window.pressing ? later(ripe, ms) : act(); }, ms);
  });
  const pressing = on => page.evaluate(p => { window.pressing = p; }, on);
  let before = first;
  const texts = [first];
  for (const h of HANDLES) {
    const slider = handle(page, h.path);
    const [least, most] = [Number(await slider.getAttribute("aria-valuemin")), Number(await slider.getAttribute("aria-valuemax"))];
    const now = async () => Number(await slider.getAttribute("aria-valuenow")), step = (most - least) / 100;
    const was = await now(), near = (a, b) => Math.abs(a - b) < 1e-3 * (most - least);
    const press = async (key, want) => {
      await page.keyboard.press(key);
      check(`${h.path}: ${key}`, near(await now(), want), [await now(), want]);
    };
    await slider.focus();
    await stepped(page, async () => {
      await pressing(true);
      await press("End", most);
      await press("Home", least);
      await press("PageUp", least + 10 * step);
      await press("ArrowUp", least + 11 * step);
      await press("ArrowRight", least + 12 * step);
      await press("ArrowLeft", least + 11 * step);
      await press("ArrowDown", least + 10 * step);
      await press("ArrowUp", least + 11 * step);
      await press("PageDown", least + step);
      await press("PageUp", least + 11 * step);
      await press("PageUp", least + 21 * step);
      await pressing(false);
    });
    check(`${h.path}: the hand stays on it`, await slider.evaluate(e => document.activeElement === e));
    const text = await judged(page, server, h.path, before, h.path, h.along);
    check(`${h.path}: it began elsewhere`, !near(was, await now()));
    texts.push(before = text);
  }
  await chain(page, texts);
};

moving["what is dragged stays under the hand, in a box of any height"] = async inward => {
  const { page } = await open(inward, example("craft-room"), { expect: /422/ });
  for (const [path, way, axis] of [[HEIGHT, [0, -50], "y"], [HEIGHT, [0, 40], "y"], [DEPTH, [-40, 0], "x"], [DEPTH, [50, 0], "x"]]) {
    const grip = handle(page, path).locator(".grip");
    const off = [];
    await stepped(page, async () => dragByMouse(page, await middle(grip), way, async (x, y) => {
      await page.waitForFunction(() => document.documentElement.dataset.ms !== "");
      const now = await middle(grip);
      off.push(Math.abs(now[axis] - { x, y }[axis]));
    }));
    check(`${path} by ${way}: within 2 px`, off.every(d => d <= 2), off);
  }
};

moving["undo and redo by keys, and a new step drops what was undone"] = async inward => {
  const first = example("splint-night"), { page } = await open(inward, first);
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("End"));
  const moved = await draft(page);
  await stepped(page, () => page.keyboard.press("Control+z"));
  check("Control+Z", await draft(page) === first);
  await stepped(page, () => page.keyboard.press("Control+Shift+z"));
  check("Control+Shift+Z", await draft(page) === moved);
  await stepped(page, () => page.keyboard.press("Control+z"));
  await stepped(page, () => page.getByRole("button", { name: /^Seal lid seam to a tenth/ }).click());
  check("nothing to do again", await page.isDisabled("#redo"));
  await stepped(page, () => page.click("#reset"));
  check("back to the file is a step itself", await draft(page) === first);
};

moving["undone at once after a key: that key, and nothing before it"] = async inward => {
  const first = example("splint-night"), { page } = await open(inward, first);
  await handle(page, SPEED).focus();
  await stepped(page, () => page.keyboard.press("PageUp"));
  const faster = await draft(page);
  await handle(page, FLAP).focus();
  await page.keyboard.press("PageUp");
  await page.keyboard.press("Control+z"); // sooner than the hand is taken to rest
  await page.waitForSelector("#redo:not([disabled])");
  await page.waitForTimeout(600);
  check("the speed stays, the flap is back", await draft(page) === faster && await stepsOf(page) === 1 && await page.isEnabled("#redo"), await page.getAttribute("#undo", "title"));
  same("and is drawn so", await handle(page, FLAP).getAttribute("aria-valuetext"), "0 %");
};

moving["a gap is sealed only if sealing made it so"] = async inward => {
  const first = example("splint-night"), { page } = await open(inward, first);
  const seal = page.getByRole("button", { name: /^Seal lid seam to a tenth/ });
  await stepped(page, () => seal.click());
  check("sealed once", await seal.isDisabled());
  await page.click("#tab-numbers");
  const field = page.getByLabel(SEAM, { exact: true });
  await field.fill("0.02 mm");
  await stepped(page, () => field.press("Enter"));
  check("a size typed since can be sealed, small as it is", await seal.isEnabled());
};

moving["sealing by click, by Enter and by the table"] = async inward => {
  const first = example("splint-night"), texts = [];
  const badge = page => page.getByRole("button", { name: /^Seal 1 lid seam: / });
  const ways = {
    click: page => badge(page).click(),
    Enter: async page => { await badge(page).focus(); await page.keyboard.press("Enter"); },
    space: async page => { await badge(page).focus(); await page.keyboard.press(" "); },
    table: page => page.getByRole("button", { name: /^Seal lid seam to a tenth/ }).click(),
  };
  for (const [way, act] of Object.entries(ways)) {
    const { page, server } = await open(inward, first);
    await stepped(page, () => act(page));
    texts.push(await judged(page, server, way, first, SEAM));
    check(`${way}: tape over tape makes nothing tighter`, await page.getByRole("button", { name: /^Seal lid seam to a tenth/ }).isDisabled());
    const { found } = await numbersOf(server, texts[0]);
    // a crack's flow goes with the cube of its width: a tenth of the area, but never less than the area alone says
    check(`${way}: narrower by the power of its kind, its range in proportion`, /^[\d.]+ mm \([\d.]+ mm \.\. [\d.]+ mm\)$/.test(found.get(SEAM)), found.get(SEAM));
    await stepped(page, () => page.click("#undo"));
    check(`${way}: undone`, await draft(page) === first);
  }
  check("all ways are the same", texts.every(t => t === texts[0]));
};

moving["a number moved faster than the server answers ends where the hand lets go"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"));
  await page.route("**/api/set?*", async route => { await new Promise(done => setTimeout(done, 150)); await route.continue(); });
  const at = await middle(handle(page, FLAP).locator(".grip"));
  await stepped(page, () => dragByMouse(page, at, [70, 0]));
  const text = await draft(page), now = Number(await handle(page, FLAP).getAttribute("aria-valuenow"));
  const { quantities } = await server.ask("/api/quantities", { text });
  check("the draft has the last place", Math.abs(quantities.find(q => q.path === FLAP).value - now) < 1e-3 && now > 0.9, now);
  await verdictsAre(page, server, "after a slow drag", text);
};

moving["a click without a move changes nothing"] = async inward => {
  const first = example("splint-night"), { page } = await open(inward, first);
  for (const h of HANDLES) {
    const at = await middle(handle(page, h.path).locator(".grip"));
    await page.mouse.click(at.x, at.y);
    check(`${h.path}: takes the focus`, await handle(page, h.path).evaluate(e => document.activeElement === e));
  }
  check("no step, no change", await page.isDisabled("#undo") && await draft(page) === first);
};

moving["other units are chosen while a change is under way"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"));
  await page.route("**/api/set?*", async route => { await new Promise(done => setTimeout(done, 400)); await route.continue(); });
  await stepped(page, async () => {
    await page.getByRole("button", { name: /^Seal lid seam to a tenth/ }).click();
    await page.selectOption("#units", "us");
  });
  await page.waitForFunction(() => document.querySelector(".judged .numbers").textContent.includes("inH2O"));
  await page.waitForTimeout(300);
  await verdictsAre(page, server, "US", await draft(page), "us");
};

moving["US units and back"] = async inward => {
  const first = example("splint-night"), { page, server } = await open(inward, first);
  await page.selectOption("#units", "us");
  await page.waitForFunction(() => document.querySelector(".judged .numbers").textContent.includes("inH2O"));
  await verdictsAre(page, server, "US", first, "us");
  const report = await server.ask("/api/check");
  const want = (await server.ask(`/api/format?value=${report.states[0].box_temperature_K}&dimension=temperature`)).us;
  check("the drawing too", (await page.textContent(".scene .big")) === want, want);
  const why = page.getByRole("button", { name: /^Chamber/ });
  await why.click();
  await page.waitForSelector("dialog[open]");
  check("why too", (await page.textContent("dialog pre")).includes("degF"));
  await page.keyboard.press("Escape");
  await page.reload();
  await page.waitForSelector(".scene svg");
  check("kept over a reload", await page.inputValue("#units") === "us" && (await page.textContent(".scene .big")) === want);
  await page.selectOption("#units", "si");
  await page.waitForFunction(() => !document.querySelector(".judged .numbers").textContent.includes("inH2O"));
  await verdictsAre(page, server, "metric", first);
};
