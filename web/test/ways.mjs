// SPDX-License-Identifier: MIT
// ways.mjs: the report as a file; a server that wants a token; the system's own few colours; air that is held still.
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { accessible, check, draft, example, handle, heard, onPath, open, same, stepped, verdictsAre } from "./rig.mjs";

const FLAP = "cleaner.split.flap.position";

export const ways = {};

// ---- the report ----

async function report(page) {
  const [download] = await Promise.all([page.waitForEvent("download"), page.click("#paper")]);
  const path = await download.path(), bytes = readFileSync(path);
  check("it is a PDF, whole", bytes.subarray(0, 5).toString() === "%PDF-" && /%%EOF\s*$/.test(bytes.subarray(-16).toString("latin1")), bytes.subarray(0, 40).toString("latin1"));
  await heard(page, "The report is made.");
  return { name: download.suggestedFilename(), text: execFileSync(onPath("pdftotext"), ["-layout", path, "-"], { encoding: "utf8" }).replace(/\s+/g, " ") };
}

ways["the report arrives as a PDF, of the draft"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"), { acceptDownloads: true });
  const first = await report(page), words = await server.ask("/api/verdicts");
  same("named after the file", first.name, "box.pdf");
  const flat = t => t.replace(/\s+/g, " ");
  check("title and overall word", first.text.includes(flat(words.title)) && new RegExp(words.overall, "i").test(first.text), first.text.slice(0, 400));
  same("each caution", words.cautions.filter(c => !first.text.includes(flat(c))), []);
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("End"));
  const moved = await report(page), said = await server.ask("/api/verdicts", { text: await draft(page) });
  const worst = said.verdicts.find(v => v.id === "inward_pressure").value, before = words.verdicts.find(v => v.id === "inward_pressure").value;
  check("what was moved is in it, unsaved", worst !== before && moved.text.includes(flat(worst)) && first.text.includes(flat(before)), { worst, before });
  await page.selectOption("#units", "us");
  const us = await report(page);
  check("in the units that the page has", us.text.includes("inH2O") && !moved.text.includes("inH2O"));
};

ways["the report of a server that is gone"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"), { expect: /ERR_CONNECTION|ERR_EMPTY_RESPONSE|ERR_SOCKET/ });
  await server.stop("SIGKILL");
  await page.click("#paper");
  await page.waitForSelector(".notice");
  check("said in words", (await page.textContent(".notice")).includes("The server does not answer"));
};

// ---- a token ----

const OPEN_TO_ALL = ["--address", "0.0.0.0"], REFUSED = /401/;
const wrong = url => url.replace(/#.*/, "#token=0123456789abcdef0123456789abcdef");

async function refused(page, server, how) {
  await page.waitForSelector(".notice");
  const said = await page.textContent(".notice");
  check(`${how}: the page says that a token is wanted, and where it stands`, /token/.test(said) && /whole address/.test(said), said);
  check(`${how}: nothing is shown that is not known`, await page.locator(".verdicts li, .scene, #overall").count() === 0 && !(await page.textContent("body")).includes("Reading the design"), await page.textContent("body"));
  await page.evaluate(a => { location.href = a; }, server.url); // as pasted into the same tab: only what stands behind # is another
  await page.waitForSelector(".verdicts li");
  await page.waitForSelector(".notice", { state: "detached" });
  check(`${how}: the address with the token helps at once`, (await page.textContent("h1")).length > 6);
}

ways["token: the address that is printed"] = async inward => {
  const first = example("splint-night"), { page, server } = await open(inward, first, { words: OPEN_TO_ALL, expect: REFUSED });
  check("an address with a token is printed", /#token=[0-9a-f]{32}$/.test(server.url), server.url);
  check("the token does not stay in sight", !(await page.evaluate(() => location.href)).includes("token"));
  const bare = new URL(server.url).origin, token = server.url.replace(/.*token=/, "");
  for (const [how, headers] of [["none", {}], ["a wrong one", { Authorization: `Bearer ${"0".repeat(32)}` }], ["half of it", { Authorization: `Bearer ${token.slice(0, 16)}` }]])
    same(`${how}: refused`, (await fetch(`${bare}/api/design`, { headers })).status, 401);
  const request = page.waitForRequest(/\/api\/set/);
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("End"));
  same("each request bears it", (await request).headers().authorization, `Bearer ${token}`);
  const text = await draft(page);
  await page.click("#save");
  await page.waitForSelector("#save[disabled]");
  same("what is saved is in the file", server.read(), text);
  await page.reload();
  await page.waitForSelector(".verdicts li");
  check("loaded anew it is still known", await page.locator(".notice").count() === 0);
  const other = await page.context().newPage(); // a tab of its own knows nothing
  await other.goto(bare);
  await refused(other, server, "another tab without it");
};

ways["token: a wrong one"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"), { words: OPEN_TO_ALL, at: wrong, wait: false, expect: REFUSED });
  await page.waitForSelector(".notice");
  await accessible(page, "a wrong token");
  await refused(page, server, "wrong");
};

ways["token: the server has another one after a restart"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"), { words: OPEN_TO_ALL, expect: /401|ERR_CONNECTION|ERR_EMPTY_RESPONSE|ERR_SOCKET/ });
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("End"));
  const text = await draft(page);
  await server.stop();
  await server.start();
  await page.waitForFunction(() => /whole address/.test(document.querySelector(".notice")?.textContent ?? ""));
  check("what was moved is kept", await handle(page, FLAP).getAttribute("aria-valuetext") === "100 %");
  await page.evaluate(a => { location.href = a; }, server.url);
  await page.waitForSelector(".notice", { state: "detached" });
  same("and goes on with the new one", await draft(page), text);
  await page.click("#save");
  await page.waitForSelector("#save[disabled]");
  same("saved", server.read(), text);
};

// ---- forced colours ----

/** An arrow without its rim covers a quarter of its box, one in the colour of its ground nothing of it; letters a tenth and more.
 * Of what is seen within the box of `locator`: the share that stands out from its ground (the colour that most of it has) by
 * `contrast` (WCAG 2.2, "contrast ratio"). */
async function standsOut(page, locator, contrast) {
  await locator.scrollIntoViewIfNeeded();
  const picture = (await locator.screenshot()).toString("base64"), reader = await page.context().newPage();
  const share = await reader.evaluate(async ({ png, least }) => {
    const image = await createImageBitmap(await (await fetch(`data:image/png;base64,${png}`)).blob());
    const canvas = new OffscreenCanvas(image.width, image.height), brush = canvas.getContext("2d");
    brush.drawImage(image, 0, 0);
    const { data } = brush.getImageData(0, 0, image.width, image.height), count = new Map();
    for (let i = 0; i < data.length; i += 4) { const key = data[i] << 16 | data[i + 1] << 8 | data[i + 2]; count.set(key, (count.get(key) ?? 0) + 1); }
    const linear = v => v <= 0.04045 * 255 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4;
    const luminance = k => 0.2126 * linear(k >> 16) + 0.7152 * linear(k >> 8 & 255) + 0.0722 * linear(k & 255);
    const ground = luminance([...count].sort((a, b) => b[1] - a[1])[0][0]);
    let seen = 0;
    for (const [key, n] of count) { const l = luminance(key); if ((Math.max(l, ground) + 0.05) / (Math.min(l, ground) + 0.05) >= least) seen += n; }
    return seen / (image.width * image.height);
  }, { png: picture, least: contrast });
  await reader.close();
  return share;
}

for (const colorScheme of ["light", "dark"]) {
  ways[`forced colours: ${colorScheme}`] = async inward => {
    const { page, server } = await open(inward, example("splint-night"), { forcedColors: "active", colorScheme });
    check("the browser has them", await page.evaluate(() => matchMedia("(forced-colors: active)").matches));
    const leaking = (await server.ask("/api/check")).states[0].gaps.filter(g => g.out_m3s > 1e-12);
    const out = page.locator(".scene .gap.out");
    same("each gap that leaks outward is marked", await out.count(), leaking.length);
    check("some do", leaking.length > 0);
    for (let i = 0; i < leaking.length; i++) {
      const what = leaking[i].name, gap = out.nth(i);
      check(`${what}: the double arrow is seen`, await standsOut(page, gap.locator(".outward g"), 3) > 0.2, await standsOut(page, gap.locator(".outward g"), 3));
      check(`${what}: the word OUT can be read`, await standsOut(page, gap.locator(".outward text"), 4.5) > 0.1, await standsOut(page, gap.locator(".outward text"), 4.5));
      check(`${what}: its arrow is of one colour, the system's`, await gap.evaluate(g => {
        const probe = document.body.appendChild(document.createElement("i"));
        probe.style.color = "CanvasText";
        const ink = getComputedStyle(probe).color;
        probe.remove();
        return getComputedStyle(g.querySelector(".outward path")).fill === ink && getComputedStyle(g.querySelector(".outward .second")).stroke === ink;
      }));
    }
    check("the words above the drawing name them", (await Promise.all(leaking.map(g => namedAbove(page, g.name)))).every(Boolean));
    for (const [what, part, share] of [["walls", ".scene .box .wall", 0.02], ["what is taken hold of", ".scene .handle .grip", 0.1], ["numbers of gaps", ".scene .badge", 0.05], ["temperature", ".scene .box text.big", 0.05]])
      check(`${what} can be seen`, await standsOut(page, page.locator(part).first(), 3) > share, await standsOut(page, page.locator(part).first(), 3));
    await handle(page, FLAP).focus();
    check("what has the focus is told from what has not", await handle(page, FLAP).locator(".grip").evaluate(g => {
      const [with_, without] = [g, document.querySelector(".handle:not(:focus) .grip")].map(e => getComputedStyle(e));
      return parseFloat(with_.strokeWidth) >= parseFloat(without.strokeWidth) + 2;
    }));
    await stepped(page, () => page.keyboard.press("End"));
    check("sealed by the flap, the mark goes", await page.locator(".scene .gap.out").count() === (await server.ask("/api/check", { text: await draft(page) })).states[0].gaps.filter(g => g.out_m3s > 1e-12).length);
    await page.click("#tab-day");
    await page.waitForSelector("#panel-day .verdicts li");
    check("the tab that is open is told from the others", await page.evaluate(() => {
      const [on, off] = ["true", "false"].map(v => getComputedStyle(document.querySelector(`.tabs [aria-selected=${v}]`)));
      return on.backgroundColor !== off.backgroundColor || on.borderBottomWidth !== off.borderBottomWidth;
    }));
  };
}
const namedAbove = async (page, name) => (await page.textContent(".picture .facts")).includes(name);

// ---- a browser that keeps nothing ----

ways["storage is forbidden"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"), { words: OPEN_TO_ALL });
  await page.addInitScript(() => {
    for (const store of ["localStorage", "sessionStorage"]) Object.defineProperty(window, store, { get() { throw new DOMException("forbidden", "SecurityError"); } });
  });
  await page.goto("about:blank");
  await page.goto(server.url);
  await page.waitForSelector(".scene svg");
  await page.selectOption("#units", "us");
  await page.waitForFunction(() => document.querySelector(".judged .numbers").textContent.includes("inH2O"));
  check("all the same", (await page.textContent("#overall")).length > 4);
};

// ---- motion ----

const offsets = page => page.$$eval(".scene .streak", all => all.map(s => s.style.strokeDashoffset));
const pause = page => page.evaluate(() => new Promise(done => { let n = 20; const next = () => n-- ? requestAnimationFrame(next) : done(); next(); })); // frames

async function moves(page) {
  const before = await offsets(page);
  await pause(page);
  const after = await offsets(page);
  return before.length > 3 && before.some((o, i) => o !== after[i]);
}

ways["less motion: the air stands still until it is asked to move"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"), { reducedMotion: "reduce" });
  const button = page.getByRole("button", { name: /the air/ });
  check("streaks are there, and stand", (await offsets(page)).length > 3 && !await moves(page));
  same("nothing else moves", await page.evaluate(() => document.getAnimations().filter(a => a.playState === "running" && a.effect.getComputedTiming().duration > 0).length), 0);
  same("the button offers it", await button.textContent(), "Let the air move");
  await button.click();
  check("asked for, it moves", await moves(page));
  await button.click();
  await page.getByRole("button", { name: "Let the air move" }).waitFor();
  await pause(page); // what was under way when it was told is drawn
  check("and stands again", !await moves(page));
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("End"));
  check("a change does not set it going", !await moves(page));
  await verdictsAre(page, server, "held still", await draft(page));
};

ways["less motion: the wish changes while the page is open"] = async inward => {
  const { page } = await open(inward, example("splint-night"), { reducedMotion: "no-preference" });
  check("without the wish the air moves", await moves(page));
  await page.emulateMedia({ reducedMotion: "reduce" });
  await page.getByRole("button", { name: "Let the air move" }).waitFor();
  check("then it stands", !await moves(page));
  await page.emulateMedia({ reducedMotion: "no-preference" });
  await page.getByRole("button", { name: "Hold the air still" }).waitFor();
  check("and moves again", await moves(page));
};
