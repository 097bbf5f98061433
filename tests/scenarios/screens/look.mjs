// Opens pages in Chromium and tells what a person would find wrong. Arguments: a folder for pictures, then files.
// Prints one JSON list of faults; an empty list is good. Widths in CSS pixels: a phone, a tablet, a sheet of A4.
import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import { basename, resolve } from 'node:path';

const outside = createRequire(resolve('target/outside/package.json'));
const { chromium } = outside('playwright-core');
const axe = readFileSync(outside.resolve('axe-core/axe.min.js'), 'utf8');
const [pictures, ...files] = process.argv.slice(2);
const views = [
  { name: 'phone', width: 360, scheme: 'light', media: 'screen' },
  { name: 'phone dark', width: 360, scheme: 'dark', media: 'screen' },
  { name: 'tablet', width: 800, scheme: 'light', media: 'screen' },
  { name: 'print', width: 676, scheme: 'light', media: 'print' },
];

// Runs in the page: what is cut off, what lies on other text, and what has too little contrast.
function measure() {
  const faults = [];
  const page = document.documentElement;
  if (page.scrollWidth > page.clientWidth) faults.push(`scrolls sideways: ${page.scrollWidth} > ${page.clientWidth}`);
  const luminance = (rgb) => {
    const [r, g, b] = rgb.map((c) => c / 255).map((s) => (s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const colour = (text) => {
    const parts = text.match(/[\d.]+/g)?.map(Number) ?? [0, 0, 0, 0];
    return { rgb: parts.slice(0, 3), alpha: parts[3] ?? 1 };
  };
  const ground = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const { rgb, alpha } = colour(getComputedStyle(at).backgroundColor);
      if (alpha === 1) return rgb;
    }
    return [255, 255, 255];
  };
  const seen = [];
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const node = texts.currentNode;
    const element = node.parentElement;
    if (!node.data.trim() || !element.checkVisibility() || element.closest('style')) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const words = node.data.trim().slice(0, 40);
    const boxes = [...range.getClientRects()].filter((box) => box.width > 1 && box.height > 1);
    // A name of one word stands in one line, on the narrowest screen as well.
    if (element.matches('.label, dt') && !/\s/.test(node.data.trim()) && boxes.length > 1) faults.push(`broken: ${words}`);
    for (const box of boxes) {
      if (box.left < -1 || box.right > page.clientWidth + 1) faults.push(`cut off: ${words}`);
      // A line box is higher than its letters: only the middle of it is compared.
      const inner = { l: box.left + 1, r: box.right - 1, t: box.top + box.height * 0.3, b: box.bottom - box.height * 0.3 };
      seen.push({ ...inner, words, element });
    }
    if (element.closest('svg')) {
      const label = element.getBoundingClientRect();
      const drawing = element.closest('svg').getBoundingClientRect();
      if (label.left < drawing.left - 1 || label.right > drawing.right + 1) faults.push(`outside its drawing: ${words}`);
      continue;
    }
    const style = getComputedStyle(element);
    const [one, other] = [luminance(colour(style.color).rgb), luminance(ground(element))];
    const ratio = (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
    if (ratio < 4.5) faults.push(`contrast ${ratio.toFixed(2)}: ${words}`);
  }
  seen.sort((a, b) => a.t - b.t);
  seen.forEach((one, at) => {
    for (let next = at + 1; next < seen.length && seen[next].t < one.b; next += 1) {
      const other = seen[next];
      if (one.l < other.r && other.l < one.r && one.element !== other.element) {
        faults.push(`"${one.words}" lies on "${other.words}"`);
      }
    }
  });
  return faults.slice(0, 20);
}

// Runs in the page: text of a drawing must stay inside the box that holds its middle.
function labels() {
  const faults = [];
  for (const drawing of document.querySelectorAll('.map-column')) {
    if (!drawing.checkVisibility()) continue;
    const boxes = [...drawing.querySelectorAll('.map-box')].map((box) => box.getBoundingClientRect());
    for (const text of drawing.querySelectorAll('text:not(.map-strip)')) {
      const at = text.getBoundingClientRect();
      const [x, y] = [(at.left + at.right) / 2, (at.top + at.bottom) / 2];
      const box = boxes.find((one) => one.left <= x && x <= one.right && one.top <= y && y <= one.bottom);
      if (!box) faults.push(`in no box: ${text.textContent}`);
      else if (at.left < box.left || at.right > box.right) faults.push(`wider than its box: ${text.textContent}`);
    }
  }
  return faults;
}

const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox'] });
const faults = [];
for (const file of files) {
  const page = await browser.newPage();
  await page.goto(`file://${resolve(file)}`);
  await page.evaluate(axe);
  for (const view of views) {
    await page.setViewportSize({ width: view.width, height: 900 });
    await page.emulateMedia({ media: view.media, colorScheme: view.scheme });
    const where = `${file} (${view.name})`;
    for (const fault of [...(await page.evaluate(measure)), ...(await page.evaluate(labels))]) {
      faults.push(`${where}: ${fault}`);
    }
    // What axe judges differs between the schemes, not between a phone and a tablet.
    if (view.width === 360) {
      const found = await page.evaluate(() =>
        window.axe.run(document, {
          runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
          resultTypes: ['violations'],
        }));
      for (const violation of found.violations) {
        const nodes = violation.nodes.map((node) => node.html.slice(0, 120)).slice(0, 3).join(' | ');
        faults.push(`${where}: axe ${violation.id}: ${nodes}`);
      }
    }
    const code = view.name === 'phone' || view.name === 'print' ? await page.$('svg.code') : null;
    if (code) {
      const name = `${basename(resolve(file, '..'))}-${basename(file)}-${view.name}.png`;
      await code.screenshot({ path: resolve(pictures, name) });
    }
  }
  await page.close();
}
await browser.close();
console.log(JSON.stringify(faults));
