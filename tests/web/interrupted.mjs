// What comes between: no script, no connection, no mouse, a lock.
import * as w from "./browser.mjs";
const { assert } = w;

/** A picture of one red point (PNG, made with a general-purpose program). */
const POINT = Buffer.from(
  "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAIAAACQd1PeAAAADElEQVR4nGP4z8AAAAMBAQDJ/pLvAAAAAElFTkSuQmCC",
  "base64",
);

const records = async (page, id) => {
  const reply = await page.request.get(`${w.base}/records/${id}/export.json`);
  return (await reply.json()).map((record) => record.event);
};

const withoutScript = async () => {
  const page = await w.device(w.PHONE, "light", { javaScriptEnabled: false });
  await w.signIn(page);
  await w.begin(page, "strainer-clean", true, "OSK-0118");
  for (let answers = 0; answers < 200; answers++) {
    const form = page.locator(".now form");
    if ((await form.count()) === 0) break;
    assert.equal(await page.locator("[role=alert]").count(), 0);
    const jump = form.getByRole("button", { name: /jump/ });
    await ((await jump.count()) > 0 ? jump : form.locator("button[type=submit]").first()).click();
  }
  assert.match(await w.ending(page), /^The walk is completed$/);
};

const withoutMouse = async () => {
  const page = await w.device(w.DESKTOP);
  const press = async (name) => {
    for (let tabs = 0; tabs < 60; tabs++) {
      await page.keyboard.press("Tab");
      const text = await page.evaluate(() => document.activeElement?.innerText ?? "");
      if (text.includes(name)) return page.keyboard.press("Enter");
    }
    assert.fail(`no way to ${name} with the keyboard`);
  };
  await page.goto(`${w.base}/sign-in`);
  await page.getByLabel("Name").focus();
  await page.keyboard.type("Tomas Reeve");
  await page.keyboard.press("Tab");
  await page.keyboard.type(w.PINS["Tomas Reeve"]);
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { name: "Procedures" }).waitFor();
  await press("Change the spray tip");
  await page.getByLabel("Serial number").focus();
  await page.keyboard.type("OSK-0117");
  await page.keyboard.press("Enter");
  await page.waitForURL(/\/walks\//);
  for (let answers = 0; answers < 8; answers++) {
    const name = await w.now(page).locator("button[type=submit]").first().innerText();
    await w.after(page, () => press(name));
    assert.equal(await w.told(page), "");
  }
  await press("Stop work");
  await page.getByRole("heading", { name: "Stop work" }).waitFor();
};

const withoutConnection = async () => {
  const page = await w.device(w.PHONE);
  await w.signIn(page);
  const id = await w.begin(page, "strainer-clean");
  let kind;
  do {
    kind = await w.asked(page);
    if (kind !== "done") await w.answer(page, kind);
  } while (kind !== "done");
  const at = await w.position(page);
  const before = await records(page, id);
  await page.context().setOffline(true);
  await w.now(page).getByRole("button", { name: "Done" }).click();
  await page.getByText("kept on this device").waitFor();
  // Once more, and a note: the same answer is kept once, the note behind it.
  // As a press on the button itself: by its place, the line that tells of the lost connection may have moved it.
  await w.now(page).getByRole("button", { name: "Done" }).dispatchEvent("click");
  await page.getByText("Note or photo").click();
  await page.locator("#note").fill("The bowl is dirtier than usual.");
  await page.getByRole("button", { name: "Keep the note" }).click();
  await page.getByText("2 answers are kept on this device").waitFor();
  // The page of the stop cannot come: the walk stays, and says what to do.
  await page.getByRole("link", { name: "Stop work" }).click();
  await page.getByText("Stop work all the same").waitFor();
  assert.match(page.url(), new RegExp(`/walks/${id}$`));
  await w.look(page, "kept-phone");
  assert.equal((await records(await w.device(w.PHONE).then(async (other) => (await w.signIn(other), other)), id)).length, before.length);
  await page.context().setOffline(false);
  await page.waitForFunction((old) => document.querySelector(".now [name=position]")?.value !== old, at);
  const after = await records(page, id);
  assert.deepEqual(after.slice(before.length).filter((event) => event !== "wait-started"), ["done", "noted"]);
};

const lockAndPhoto = async () => {
  const page = await w.device(w.PHONE, "dark");
  await w.signIn(page);
  const id = await w.begin(page, "tip-swap");
  await page.getByText("Note or photo").click();
  await w.look(page, "note-phone-dark");
  await page.locator("#photo").setInputFiles({ name: "point.png", mimeType: "image/png", buffer: POINT });
  await page.locator("#caption").fill("The tip before the work");
  await w.after(page, () => page.getByRole("button", { name: "Keep the photo" }).click());
  assert.equal(await w.told(page), "");
  await page.getByText("Note or photo").click();
  await page.locator("#photo").setInputFiles({ name: "x.png", mimeType: "image/png", buffer: Buffer.from("<svg/>") });
  await w.after(page, () => page.getByRole("button", { name: "Keep the photo" }).click());
  assert.match(await w.told(page), /no photo that can be read/);
  await page.goto(`${w.base}/records/${id}`);
  const photo = page.getByAltText("Photo: The tip before the work");
  assert.equal(await photo.evaluate((image) => image.decode().then(() => image.naturalWidth)), 1);
  await page.goto(`${w.base}/walks/${id}`);
  await page.getByRole("button", { name: /^Lock/ }).click();
  await page.getByRole("heading", { name: "Locked" }).waitFor();
  await w.look(page, "locked-phone-dark");
  await page.goto(`${w.base}/walks/${id}`);
  await page.getByRole("heading", { name: "Locked" }).waitFor();
  await page.getByLabel(/PIN of/).fill("000000");
  await page.getByRole("button", { name: "Go on" }).click();
  await page.getByText("This is not the PIN").waitFor();
  await page.getByLabel(/PIN of/).fill(w.PINS["Tomas Reeve"]);
  await page.getByRole("button", { name: "Go on" }).click();
  await page.waitForURL(new RegExp(`/walks/${id}`));
};

await withoutScript();
await withoutMouse();
await withoutConnection();
await lockAndPhoto();
await w.browser.close();
