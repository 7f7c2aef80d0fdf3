// SPDX-License-Identifier: MIT
// begin.mjs: from nothing to a saved design with its verdicts.
import { existsSync } from "node:fs";
import { accessible, check, draft, example, fitsAcross, open, same, verdictsAre } from "./rig.mjs";

const ANSWERS = { machine: "printing", material: ["PA"], width: "400 mm", depth: "450 mm", height: "500 mm", floor: "9 m2", people: ["works", "sleeps next door"], carbon_mass: "1.5 kg", title: "Splints at night" };

const label = page => page.evaluate(() => { const e = document.activeElement; return e.id.replace(/^q-/, "") || e.closest("fieldset")?.id.replace(/^q-/, "") || e.textContent.trim(); });

/** Goes on by Tab until `wanted` has the focus. */
async function tabTo(page, wanted) {
  const seen = [];
  for (let i = 0; i < 60; i++) {
    const now = await label(page);
    if (now === wanted) return;
    seen.push(now);
    await page.keyboard.press("Tab");
  }
  throw new Error(`${wanted} is not reached by Tab: ${seen.join(", ")}`);
}

/** Answers one question by keys alone. */
async function answerByKeys(page, id, to) {
  await tabTo(page, id);
  if (Array.isArray(to)) {
    for (const word of to) {
      for (let i = 0; i < 30; i++) {
        if (await page.evaluate(([q, w]) => document.activeElement.type === "checkbox" && document.activeElement.value === w && document.activeElement.closest(`#q-${q}`) !== null, [id, word])) break;
        await page.keyboard.press("Tab");
      }
      await page.keyboard.press(" ");
    }
  } else if (await page.evaluate(() => document.activeElement.tagName === "SELECT")) {
    const title = await page.evaluate(v => [...document.activeElement.options].find(o => o.value === v).textContent, to);
    await page.keyboard.type(title);
  } else {
    await page.keyboard.type(to);
  }
}

export const begin = {};

begin["from nothing by keyboard alone"] = async inward => {
  const { page, server } = await open(inward, null, { wait: false });
  const { questions } = await server.ask("/api/begin");
  await page.waitForSelector("form");
  check("there is no file yet", !existsSync(server.file));
  await page.keyboard.press("Tab");
  const parts = [...new Set(questions.map(q => q.part))];
  for (const part of parts) {
    await page.waitForFunction(p => document.querySelector("form h2")?.textContent === p, part);
    for (const q of questions.filter(q => q.part === part && ANSWERS[q.id])) await answerByKeys(page, q.id, ANSWERS[q.id]);
    if (part !== parts[parts.length - 1]) {
      await tabTo(page, "Next");
      await page.keyboard.press("Enter");
    }
  }
  await tabTo(page, "Make the design and judge it");
  await page.keyboard.press("Enter");
  await page.waitForSelector(".scene svg");
  await page.waitForSelector("#save[disabled]");
  const want = await server.ask("/api/begin?check=no", { answers: ANSWERS, units: "si" });
  same("the file is what the server makes of these answers", server.read(), want.text);
  check("the draft too", await draft(page) === want.text);
  await verdictsAre(page, server, "the new design", want.text);
};

begin["nothing answered is a design too"] = async inward => {
  const { page, server } = await open(inward, null, { wait: false });
  await page.getByRole("button", { name: "Enough: make the design now" }).click();
  await page.waitForSelector(".scene svg");
  await page.waitForSelector("#save[disabled]");
  await verdictsAre(page, server, "all assumed", server.read());
  check("the headline says that the gaps are aims", (await page.textContent("#planned")).includes("aims, not measurements"));
};

begin["a wrong answer is said at its question"] = async inward => {
  const { page, server } = await open(inward, null, { wait: false, expect: /422/ });
  const next = () => page.getByRole("button", { name: "Next" }).click();
  await page.waitForSelector("form");
  await next();
  await page.fill("#q-width", "4 kg");
  await next();
  await page.fill("#q-floor", "12");
  await page.getByRole("button", { name: /^Enough/ }).click();
  await page.waitForSelector("#q-width-fault");
  check("the first of them has the focus", await page.evaluate(() => document.activeElement.id === "q-width"));
  check("it says what is wrong", (await page.textContent("#q-width-fault")).includes("kg") && await page.getAttribute("#q-width", "aria-invalid") === "true");
  check("and is read with the field", (await page.getAttribute("#q-width", "aria-describedby")).includes("q-width-fault"));
  check("no file was made", !existsSync(server.file));
  await accessible(page, "a wrong answer");
  await page.fill("#q-width", "400 mm");
  await next();
  await page.waitForSelector("#q-floor-fault");
  await page.fill("#q-floor", "12 m2");
  await page.getByRole("button", { name: /^Enough/ }).click();
  await page.waitForSelector(".scene svg");
  await page.waitForSelector("#save[disabled]");
  check("mended, it is made", /400 mm/.test(server.read()));
};

begin["another machine after a material was chosen; answers of no use are said"] = async inward => {
  const { page, server } = await open(inward, null, { wait: false });
  await page.waitForSelector("form");
  await page.selectOption("#q-machine", "printing");
  await page.check("#q-material input[value='PA']");
  await page.selectOption("#q-machine", "soldering");
  same("its materials are offered no longer", await page.locator("#q-material input[value='PA']").count(), 0);
  const filled = { carbon_mass: "1.5 kg", carbon_diameter: "150 mm", carbon_depth: "80 mm" };
  for (const [id, text] of Object.entries(filled)) {
    while (await page.locator(`#q-${id}`).count() === 0) await page.getByRole("button", { name: "Next" }).click();
    await page.fill(`#q-${id}`, text);
  }
  await page.getByRole("button", { name: /^(Enough|Make the design)/ }).click();
  await page.waitForSelector(".scene svg");
  await page.waitForSelector("#save[disabled]");
  const want = await server.ask("/api/begin?check=no", { answers: { machine: "soldering", ...filled }, units: "si" });
  same("made without the material that is gone", server.read(), want.text);
  check("there is something to say, or this is no test", want.diagnostics.length > 0);
  await page.waitForTimeout(1000); // what is said of the verdicts when things have settled does not wipe it away
  same("each remark stays on the page", want.diagnostics.map(d => d.message), await page.$$eval(".notice li", all => all.map(l => l.textContent)));
};

begin["in US units, on a phone, each part by the rules"] = async inward => {
  const { page, server } = await open(inward, null, { wait: false, viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true, colorScheme: "dark" });
  await page.waitForSelector("form");
  await page.selectOption(".begin-form .units select", "us");
  for (;;) {
    const part = await page.textContent("form h2");
    await accessible(page, part);
    await fitsAcross(page, part);
    const next = page.getByRole("button", { name: "Next" });
    if (await next.count() === 0) break;
    await next.click();
    await page.waitForFunction(was => document.querySelector("form h2").textContent !== was, part);
  }
  await page.getByRole("button", { name: "Make the design and judge it" }).click();
  await page.waitForSelector(".scene svg");
  await page.waitForSelector("#save[disabled]");
  same("as the server makes it", server.read(), (await server.ask("/api/begin?check=no", { answers: {}, units: "us" })).text);
  await verdictsAre(page, server, "US", server.read(), "us");
  await page.reload();
  await page.waitForSelector(".scene svg");
  same("the units are kept", await page.inputValue("#units"), "us");
};

begin["begun anew over a design, and left"] = async inward => {
  const first = example("splint-night"), { page, server } = await open(inward, first);
  await page.click("#anew");
  await page.getByRole("button", { name: "Leave it" }).click();
  await page.waitForSelector(".scene svg");
  check("nothing has changed", await page.isDisabled("#undo") && await draft(page) === first);
  await page.click("#anew");
  await page.getByRole("button", { name: /^Enough/ }).click();
  await page.waitForSelector("#undo:not([disabled])");
  const text = await draft(page);
  check("a new draft, the file untouched", text !== first && server.read() === first);
  await page.click("#undo");
  await page.waitForSelector("#undo[disabled]");
  check("undone", await draft(page) === first);
};
