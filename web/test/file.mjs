// SPDX-License-Identifier: MIT
// file.mjs: the draft and the file: saved, changed by others, a server that goes and comes, texts that are no design.
import { check, draft, example, handle, heard, open, same, stepped, stepsOf, verdictsAre } from "./rig.mjs";

const FLAP = "cleaner.split.flap.position";

async function toFull(page) { // the flap to its end, by keys
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("End"));
  return draft(page);
}
const clean = page => page.waitForSelector("#save[disabled]");

export const file = {};

file["save"] = async inward => {
  const first = example("splint-night"), { page, server } = await open(inward, first);
  check("nothing to save at first", await page.isDisabled("#save") && await page.isDisabled("#reset"));
  const text = await toFull(page);
  same("not written before it is asked for", server.read(), first);
  await page.click("#save");
  await clean(page);
  same("the file is the draft", server.read(), text);
  check("comments are kept", text.includes("# the splint is taken out") && text.replace("position: 100 %", "position: 0 %") === first);
  await heard(page, "Saved into box.yaml");
  await stepped(page, () => page.click("#undo"));
  check("undone after saving it is another text again", await page.isEnabled("#save") && await draft(page) === first);
  await page.click("#save");
  await clean(page);
  same("saved a second time", server.read(), first);
};

file["moved on while it is being saved"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"));
  const saved = await toFull(page);
  await page.route("**/api/save", async route => { await new Promise(done => setTimeout(done, 800)); await route.continue(); });
  const reply = page.waitForResponse(/\/api\/save/);
  await page.click("#save");
  await handle(page, FLAP).focus();
  await stepped(page, () => page.keyboard.press("PageDown"));
  await reply;
  await heard(page, "Saved into");
  same("the file has what was there to be saved", server.read(), saved);
  check("what came later is still to be saved", await page.isEnabled("#save") && await draft(page) !== saved);
};

file["conflict: mine over theirs"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"), { expect: /409/ });
  const mine = await toFull(page);
  server.write(`${example("splint-night")}# theirs\n`);
  await page.click("#save");
  const over = page.getByRole("button", { name: "Save mine over it" });
  await over.waitFor();
  check("nothing was saved", server.read().endsWith("# theirs\n"));
  await over.click();
  await clean(page);
  same("mine is in the file", server.read(), mine);
  check("the notice is gone", await page.locator(".notice").count() === 0);
};

file["conflict: theirs, mine dropped"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"), { expect: /409/ });
  await toFull(page);
  const theirs = example("splint-night").replace("speed: 70 %", "speed: 80 %");
  server.write(theirs);
  await page.click("#save");
  await page.getByRole("button", { name: /^Take the file/ }).click();
  await clean(page);
  same("theirs is in the file", server.read(), theirs);
  await page.waitForSelector(".notice", { state: "detached" });
  check("and on the page", await draft(page) === theirs);
  const mine = example("splint-night").replace("position: 0 %", "position: 100 %");
  await stepped(page, () => page.click("#undo"));
  check("what was dropped can be had back", await draft(page) === mine && await page.isEnabled("#save"));
  await stepped(page, () => page.click("#redo"));
  check("and dropped again", await draft(page) === theirs && await page.isDisabled("#save"));
  await verdictsAre(page, server, "theirs", theirs);
  await toFull(page); // and goes on from there
  await page.click("#save");
  await clean(page);
  check("saved on top of theirs", server.read().includes("speed: 80 %") && server.read().includes("position: 100 %"));
};

file["conflict: changed again while it was asked"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"), { expect: /409/ });
  const mine = await toFull(page), over = page.getByRole("button", { name: "Save mine over it" });
  server.write(`${example("splint-night")}# theirs\n`);
  await page.click("#save");
  await over.waitFor();
  server.write(`${example("splint-night")}# theirs, later\n`);
  const [reply] = await Promise.all([page.waitForResponse(/\/api\/save/), over.click()]);
  same("refused once more", reply.status(), 409);
  check("theirs is untouched", server.read().endsWith("later\n"));
  await over.click();
  await clean(page);
  same("then mine", server.read(), mine);
};

file["somebody else's edit is taken when nothing is moved"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"));
  const theirs = example("splint-night").replace("title: Splint", "title: Edited by another; splint");
  server.write(theirs);
  await page.waitForFunction(() => document.querySelector("h1").textContent.startsWith("Edited by another"));
  check("no notice, nothing to save", await page.locator(".notice").count() === 0 && await page.isDisabled("#save"));
  check("the draft is theirs", await draft(page) === theirs);
};

file["somebody else's edit waits when something is moved"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"));
  const mine = await toFull(page);
  server.write(example("splint-night").replace("title: Splint", "title: Edited by another; splint"));
  await heard(page, "changed by somebody else");
  check("the draft stays", await draft(page) === mine && !(await page.textContent("h1")).startsWith("Edited"));
};

file["somebody else's edit with a fault in it, and mended"] = async inward => {
  const { page, server } = await open(inward, example("splint-night"), { expect: /422/ });
  server.write(example("splint-night").replace("floor: 9 m2", "floor: 9 kg"));
  await page.waitForSelector(".notice");
  const said = await page.textContent(".notice");
  check("the fault with its line", /line 16, column \d+/.test(said), said);
  same("no verdict of the text before stands over it", await page.locator(".verdicts li, #overall, .picture svg, table.gaps").count(), 0);
  check("it says so", (await page.textContent("#unread")).startsWith("No verdict"));
  server.write(example("splint-night").replace("floor: 9 m2", "floor: 8 m2"));
  await page.waitForSelector(".notice", { state: "detached" });
  check("mended, it is taken", (await draft(page)).includes("floor: 8 m2"));
};

file["the server ends and comes back"] = async inward => {
  const first = example("splint-night");
  const { page, server } = await open(inward, first, { expect: /ERR_CONNECTION|ERR_EMPTY_RESPONSE|ERR_SOCKET/ });
  const before = await toFull(page), steps = await stepsOf(page);
  await server.stop("SIGKILL");
  await handle(page, FLAP).focus();
  await page.keyboard.press("PageDown");
  await page.waitForSelector(".notice");
  check("said in words", (await page.textContent(".notice")).includes("The server does not answer"));
  await server.start();
  await page.waitForSelector(".notice", { state: "detached" });
  await page.waitForFunction(() => document.querySelector(".handle[data-path='cleaner.split.flap.position']").getAttribute("aria-valuetext") === "90 %");
  await page.waitForFunction(n => Number(document.getElementById("undo").dataset.steps) !== n && !document.querySelector(".handle.held"), steps);
  const text = await draft(page);
  check("what was moved meanwhile is kept", text === before.replace("position: 100 %", "position: 90 %"), text.match(/position: .*/)?.[0]);
  await verdictsAre(page, server, "after the restart", text);
  same("the file is untouched", server.read(), first);
  await page.click("#save");
  await clean(page);
  same("and can be saved", server.read(), text);
};

file["the server is away when somebody loads, and comes back while nothing is moved"] = async inward => {
  const first = example("splint-night");
  const { page, server } = await open(inward, first, { expect: /ERR_CONNECTION|ERR_EMPTY_RESPONSE|ERR_SOCKET/ });
  await server.stop();
  await page.waitForSelector(".notice"); // noticed without a hand
  server.write(first.replace("title: Splint", "title: Edited while away; splint"));
  await server.start();
  await page.waitForSelector(".notice", { state: "detached" });
  await page.waitForFunction(() => document.querySelector("h1").textContent.startsWith("Edited while away"));
};

file["a file that is no design"] = async inward => {
  const bad = example("splint-night").replace("height: 2.4 m\n    temperature: 20", "height: 2.4 kg\n    temperature: 20");
  const { page, server } = await open(inward, bad, { wait: false, expect: /422/ });
  await page.waitForSelector(".notice li");
  const said = await page.textContent(".notice");
  check("each message has its line", /line 17, column \d+: .*kg/.test(said), said);
  check("no verdict is made up", await page.locator(".verdicts li").count() === 0 && await page.locator("#overall").count() === 0);
  server.write(example("splint-night"));
  await page.waitForSelector(".verdicts li");
  await page.waitForSelector(".notice", { state: "detached" });
  check("mended, it is judged", await draft(page) === example("splint-night"));
};

