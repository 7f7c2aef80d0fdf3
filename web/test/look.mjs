// SPDX-License-Identifier: MIT
// look.mjs: by keyboard alone, on a phone, in the dark, on paper; and the rules of accessibility in each state.
import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { accessible, check, draft, example, fitsAcross, handle, heard, listed, onPath, open, same, stepped, unfold, verdictsAre } from "./rig.mjs";

const FLAP = "cleaner.split.flap.position";
const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true };
const LEAST_TARGET = 24; // px, WCAG 2.2, 2.5.8

export const look = {};

look["why opens, closes with Escape, and gives the focus back"] = async inward => {
  const { page } = await open(inward, example("splint-night"));
  for (const [name, asked] of [[/^Chamber/, "box.temperature"], [/^Why this number/, null]]) {
    if (asked === null) await page.locator(".verdicts summary").first().click();
    const button = page.getByRole("button", { name }).first();
    await button.focus();
    for (const close of ["Escape", "Close"]) {
      await page.keyboard.press("Enter");
      await page.waitForSelector("dialog[open]");
      check("it says where the number comes from", (await page.textContent("dialog pre")).includes(asked ?? " = "), await page.textContent("dialog pre"));
      check("the focus is inside", await page.evaluate(() => document.activeElement.closest("dialog") !== null));
      if (close === "Escape") await page.keyboard.press("Escape"); else await page.getByRole("button", { name: "Close" }).click();
      await page.waitForSelector("dialog[open]", { state: "detached" });
      check(`${close}: the focus is back`, await button.evaluate(b => document.activeElement === b));
    }
  }
};

look["each verdict opens and tells its reason, and stays open over a change"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"));
  const told = await server.ask("/api/verdicts");
  await unfold(page);
  const all = page.locator(".judged .verdicts > li");
  for (let i = 0; i < await all.count(); i++) {
    const item = all.nth(i), title = (await listed(page))[i].title;
    await item.locator("summary").click();
    const text = await item.textContent(), v = told.verdicts.find(x => title === x.title || title === `${x.title}, ${x.job}`);
    check(`${title}: reason and remedy`, [v.reason, v.change, v.caution].every(x => !x || text.includes(x)), text);
    const [reply] = await Promise.all([page.waitForResponse(/\/api\/why/), item.getByRole("button", { name: /^Why this number/ }).click()]);
    same(`${title}: why answers`, reply.status(), 200);
    await page.waitForSelector("dialog[open]");
    await page.keyboard.press("Escape");
    await page.waitForSelector("dialog[open]", { state: "detached" });
  }
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("PageUp"));
  check("open as they were", await page.$$eval(".judged .verdicts details", d => d.every(x => x.open)));
};

look["by keyboard alone, from the address to a saved change"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"));
  const focused = () => page.evaluate(() => { const e = document.activeElement; return { id: e.id, label: e.getAttribute("aria-label") ?? e.textContent, path: e.dataset.path ?? "" }; });
  const tabTo = async wanted => {
    const seen = [];
    for (let i = 0; i < 120; i++) {
      const f = await focused();
      if (wanted(f)) return true;
      seen.push(f.path || f.id || f.label.slice(0, 20));
      await page.keyboard.press("Tab");
    }
    check("reached by Tab", false, seen);
    return false;
  };
  await page.keyboard.press("Tab");
  check("first comes the way past everything", (await focused()).label === "To the verdicts");
  check("and it can be seen", await page.locator(".skip").evaluate(e => e.getBoundingClientRect().left >= 0));
  await page.keyboard.press("Enter");
  check("it goes there", await page.evaluate(() => document.activeElement.id === "verdicts"));
  await page.reload();
  await page.waitForSelector(".scene svg");
  await tabTo(f => f.path === FLAP);
  await stepped(page, () => page.keyboard.press("End"));
  check("the ring round what has the focus can be seen", await handle(page, FLAP).locator(".grip").evaluate(g => parseFloat(getComputedStyle(g).strokeWidth) >= 4));
  await heard(page, "First: ");
  const text = await draft(page);
  await verdictsAre(page, server, "by keys", text);
  await page.evaluate(() => document.activeElement.blur());
  await tabTo(f => f.id === "save");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#save[disabled]");
  same("it is in the file", server.read(), text);
};

look["on a phone"] = async inward => {
  for (const name of ["splint-night", "houseboat-bench", "craft-room"]) {
    const { page } = await open(inward, example(name), PHONE);
    await fitsAcross(page, name);
    await page.locator(".verdicts summary").first().click();
    await page.locator(".heed details summary").click();
    await fitsAcross(page, `${name}, opened`);
    const small = await page.$$eval("button, select, input, summary, .handle, .badge", (all, least) => all.flatMap(e => {
      const b = e.getBoundingClientRect();
      if (!e.checkVisibility() || e.getAttribute("tabindex") === "-1") return [];
      return b.width < least - 0.01 || b.height < least - 0.01 ? [`${e.getAttribute("aria-label") ?? e.textContent} ${b.width.toFixed(0)}x${b.height.toFixed(0)}`] : [];
    }), LEAST_TARGET);
    same(`${name}: whatever is touched is at least ${LEAST_TARGET} px`, small, []);
    const away = await page.$$eval("button, select, summary, .handle, .badge", all => all.flatMap(e => {
      if (!e.checkVisibility()) return [];
      e.scrollIntoView({ block: "center" });
      const b = (e.querySelector(".reach") ?? e).getBoundingClientRect();
      const x = b.x + b.width / 2, y = b.y + b.height / 2, hit = document.elementFromPoint(x, y);
      return hit && (e.contains(hit) || hit.contains(e)) ? [] : [`${e.getAttribute("aria-label") ?? e.textContent} at ${x.toFixed(0)}, ${y.toFixed(0)} under ${hit?.outerHTML.slice(0, 120)}`];
    }));
    same(`${name}: a finger gets at every control`, away, []);
  }
};

look["wide and middling windows"] = async inward => {
  const { page } = await open(inward, example("splint-night"), { viewport: { width: 1400, height: 900 } });
  for (const width of [1400, 1100, 900, 600, 480, 320]) {
    await page.setViewportSize({ width, height: 800 });
    await page.waitForFunction(w => innerWidth === w, width);
    if (width > 340) await fitsAcross(page, `${width} px`);
  }
};

const states = {
  "as loaded": async () => {},
  "a verdict open": async page => { await page.locator(".verdicts summary").first().click(); },
  "something moved": async page => { await handle(page, FLAP).focus(); await stepped(page, () => page.keyboard.press("PageUp")); },
  "why": async page => { await page.getByRole("button", { name: /^Chamber/ }).click(); await page.waitForSelector("dialog[open]"); },
};

for (const [how, options] of Object.entries({ "wide and light": {}, "wide and dark": { colorScheme: "dark" }, "on a phone": PHONE, "on a phone in the dark": { ...PHONE, colorScheme: "dark" } })) {
  look[`axe: ${how}`] = async inward => {
    const { page } = await open(inward, example("splint-night"), options);
    for (const [name, act] of Object.entries(states)) {
      await act(page);
      await accessible(page, `${how}, ${name}`);
    }
  };
}

look["axe: trouble"] = async inward => {
  const bad = example("splint-night").replace("floor: 9 m2", "floor: 9 kg");
  const { page } = await open(inward, bad, { wait: false, expect: /422/ });
  await page.waitForSelector(".notice li");
  await accessible(page, "a file that is no design");
  const conflict = await open(inward, example("splint-night"), { expect: /409/ });
  await handle(conflict.page, FLAP).focus();
  await stepped(conflict.page, () => conflict.page.keyboard.press("End"));
  conflict.server.write(example("splint-night") + "# theirs\n");
  await conflict.page.click("#save");
  await conflict.page.waitForSelector(".notice button");
  await accessible(conflict.page, "a conflict");
};

look["axe: other designs"] = async inward => {
  for (const [name, text] of [["mended", example("splint-night-mended")], ["houseboat", example("houseboat-bench")], ["craft room", example("craft-room")],
    ["without cleaner", example("splint-night").replace(/^cleaner:\n(?: .*\n)+/m, "")]]) {
    const { page } = await open(inward, text);
    await accessible(page, name);
  }
};

look["on paper"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"));
  await page.click("#tab-day");
  await page.waitForSelector("#panel-day .verdicts li");
  const path = join(server.folder, "page.pdf");
  writeFileSync(path, await page.pdf({ format: "A4" }));
  const text = execFileSync(onPath("pdftotext"), ["-layout", path, "-"], { encoding: "utf8" }).replace(/\s+/g, " ");
  const words = await server.ask("/api/verdicts");
  const flat = t => t.replace(/\s+/g, " ");
  const lacking = words.verdicts.flatMap(v => [v.title, v.word, v.value].filter(x => x && !flat(text).includes(flat(x))));
  same("each verdict is there with its number", lacking, []);
  same("each caution too", words.cautions.filter(c => !flat(text).includes(flat(c))), []);
  check("the disclaimer", text.includes(flat(words.disclaimer)));
  check("no button's words", !/Save into the file|Hold the air still|Let the air move|Undo/.test(text), text.slice(0, 600));
  const info = execFileSync(onPath("pdfinfo"), [path], { encoding: "utf8" });
  check("A4", /Page size:\s+59[45]\.\d+ x 84[12]/.test(info), info);
  check("the day that was looked at, unfolded", text.includes("By the clock") && text.includes("Verdicts of the day"));
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: 700, height: 1000 }); // A4 less its margins at 96 px an inch
  const cut = await page.$$eval("main *", all => all.flatMap(e => {
    const b = e.getBoundingClientRect();
    return b.width && b.right > document.documentElement.clientWidth + 1 ? [e.outerHTML.slice(0, 100)] : [];
  }));
  same("nothing is cut off at the side", cut, []);
};
