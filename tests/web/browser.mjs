// What the browser tests share: a browser, people, and a technician who answers what is asked.
import { createRequire } from "node:module";
import { mkdirSync } from "node:fs";
import assert from "node:assert/strict";

const [, , base, outside, pictures] = process.argv;
const require = createRequire(`${outside}/`);
const { chromium } = require("playwright-core");
const axeSource = require("axe-core").source;

export { assert, base };
export const PINS = { "Tomas Reeve": "402917", "Anneke Voss": "518263", "Gwen Adeyi": "730194", "Ilse Marrow": "620418" };
export const PHONE = { width: 360, height: 740 };
export const DESKTOP = { width: 1280, height: 900 };

export const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
if (pictures) mkdirSync(pictures, { recursive: true });

/** A device: its own cookies, size and colours. */
export const device = async (viewport, colorScheme = "light", more = {}) => {
  const context = await browser.newContext({ viewport, colorScheme, ...more });
  context.setDefaultTimeout(20_000);
  return context.newPage();
};

export const signIn = async (page, name = "Tomas Reeve") => {
  await page.goto(`${base}/sign-in`);
  await page.getByLabel("Name").fill(name);
  await page.getByLabel("PIN").fill(PINS[name]);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.getByRole("heading", { name: "Procedures" }).waitFor();
};

export const begin = async (page, procedure, rehearsal = true, serial = "OSK-0117") => {
  await page.goto(`${base}/begin/${procedure}`);
  await page.getByLabel("Serial number").fill(serial);
  if (rehearsal) await page.getByLabel(/Rehearsal/).check();
  await page.getByRole("button", { name: "Begin" }).click();
  await page.waitForURL(/\/walks\//);
  return new URL(page.url()).pathname.split("/").pop();
};

/** No violation of the rules of axe-core; targets of 44 px, or as told; no sideways scrolling; a picture where one is wanted. */
export const look = async (page, name, smallest = 44) => {
  if (pictures) await page.screenshot({ path: `${pictures}/${name}.png`, fullPage: true });
  await page.evaluate(axeSource).catch(() => {});
  const found = await page.evaluate(async () => (await window.axe.run(document, { resultTypes: ["violations"] })).violations);
  const told = found.map((one) => `${one.id}: ${one.help}: ${one.nodes.map((node) => node.html).join(" | ")}`);
  assert.deepEqual(told, [], `axe-core at ${name}`);
  const small = await page.evaluate((smallest) =>
    [...document.querySelectorAll("a, button, select, textarea, summary, input:not([type=hidden]):not([type=checkbox])")]
      .filter((one) => one.checkVisibility() && !one.classList.contains("skip"))
      .map((one) => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
      .filter(([, box]) => box.width > 0 && (box.height < smallest || box.width < smallest))
      .map(([html, box]) => `${html} ${Math.round(box.width)}x${Math.round(box.height)}`), smallest);
  assert.deepEqual(small, [], `targets at ${name}`);
  const wide = await page.evaluate(() => document.scrollingElement.scrollWidth - innerWidth);
  assert.ok(wide <= 0, `${name} is ${wide} px too wide`);
};

const READINGS = [
  [/bond strip/, "1 ohm"],
  [/grip of the wand/, "0.5 Mohm"],
  [/voltage/, "25.8 V"],
  [/gap/, "18 mm"],
  [/product's label/, "50000 mg/L"],
];

/** What is asked now: the `say` of the form, "sign", "resume", "ended" or "begin". */
export const asked = (page) =>
  page.evaluate(() => {
    const now = document.querySelector(".now");
    if (!now) return "nothing";
    const form = now.querySelector("form");
    if (!form) return "ended";
    if (form.action.endsWith("/sign")) return "sign";
    return form.querySelector("[name=say]").value;
  });

export const position = (page) => page.evaluate(() => document.querySelector(".now [name=position]")?.value ?? "ended");

/** Waits for the page after an answer: a new document, or a new body in the old one. */
export const after = async (page, act) => {
  await page.evaluate(() => (document.body.dataset.old = "yes"));
  await act();
  const isNew = () => document.readyState !== "loading" && document.body?.dataset.old !== "yes" && document.querySelector("main");
  await page.waitForFunction(isNew, undefined, { polling: 20 });
};

export const now = (page) => page.locator(".now");
export const told = async (page) => (await page.locator("[role=alert]").count()) > 0 ? page.locator("[role=alert]").innerText() : "";

export const sign = async (page, name, pin = PINS[name] ?? "000001") => {
  await page.locator("#sign-person").fill(name);
  await page.locator("#sign-pin").fill(pin);
  await after(page, () => now(page).locator("button[type=submit]").first().click());
};

export const reading = async (page, text) => {
  const [number, unit] = text.split(" ");
  await page.locator("#reading").fill(number);
  await page.locator("#unit").fill(unit);
  await after(page, () => page.getByRole("button", { name: "Record the reading" }).click());
};

/** Answers once as a willing technician. */
export const answer = async (page, kind) => {
  switch (kind) {
    case "look": {
      // Nothing was begun while nobody was there.
      const says = /been begun before/.test(await now(page).innerText()) ? "No" : "Yes";
      return after(page, () => now(page).getByRole("button", { name: says, exact: true }).click());
    }
    case "timer":
      return after(page, () => now(page).getByRole("button", { name: /jump/ }).click());
    case "sign":
      return sign(page, "Anneke Voss");
    case "reading": {
      const label = await page.locator("label[for=reading]").innerText();
      return reading(page, READINGS.find(([words]) => words.test(label))[1]);
    }
    default:
      return after(page, () => now(page).locator("button[type=submit]").first().click());
  }
};

/** Walks to the end. `at(kind, count)` may answer instead, or look; it gives true if it did answer. */
export const walk = async (page, at = async () => false) => {
  const counts = {};
  for (let answers = 0; answers < 400; answers++) {
    const kind = await asked(page);
    if (kind === "ended") return counts;
    counts[kind] = (counts[kind] ?? 0) + 1;
    if (await at(kind, counts[kind])) continue;
    await answer(page, kind);
    const refused = await told(page);
    assert.equal(refused, "", `${kind} was refused`);
  }
  assert.fail("the walk does not end");
};

export const ending = async (page) => page.locator(".now h2").innerText();
