// Looks at every page of ./pages: nothing leaves the file, nothing speaks to the console, axe-core finds no fault, a phone
// of 360 px has no sideways scroll, no row is split between two sheets of paper. Pages called kept-* are also compared
// with the texts and boxes of EXPECTED, and leave screenshots and printed sheets.
//
//     node look.mjs CHROMIUM EXPECTED [--bless]
import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import axe from 'axe-core';
import { chromium } from 'playwright-core';

const [program, expected, bless] = process.argv.slice(2);
const WIDTHS = [360, 768, 1280];
const PAPERS = ['A4', 'A5', 'Letter'];
const SHEETS = { 'kept-change': { A4: 1, A5: 1, Letter: 1 }, 'kept-week': { A4: 2, Letter: 2 } }; // at most
const SLACK = 3; // px: hinting differs between builds of a font library
const DRIFT = 0.01; // of the distance from the top, where such differences add up
const WHOLE = '.steps tbody tr, .run, .hazards, .job, svg'; // what one sheet of paper must hold whole
const SHOTS = 'screens';

let faults = 0;
let checks = 0;
const fault = (where, what) => { faults++; console.log(`${where}: ${what}`); };
const check = (where, held, what) => { checks++; if (!held) fault(where, what); };

// Whatever a page does beyond being shown is a fault.
function listen(page, where) {
  page.on('console', (message) => fault(where(), `console: ${message.text()}`));
  page.on('pageerror', (error) => fault(where(), `error: ${error.message}`));
  page.on('dialog', (dialog) => { fault(where(), `a dialog: ${dialog.message()}`); dialog.dismiss(); });
  page.on('request', (request) => { if (request.url() !== page.wanted) fault(where(), `asked for ${request.url()}`); });
}

async function judge(page, where) {
  await page.evaluate(axe.source);
  const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }));
  check(where, found.passes.length > 0, 'axe-core found nothing to judge');
  for (const rule of found.violations)
    fault(where, `${rule.id}: ${rule.help}: ${rule.nodes[0].html.slice(0, 160)}`);
  checks++;
}

async function narrow(page, where) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  check(where, wide <= 0, `scrolls sideways by ${wide} px`);
}

// Marks of one pixel at the top and the bottom of each thing that must stay whole; then the page on which each is printed.
async function printed(page, where, name, paper) {
  const count = await page.evaluate((whole) => {
    const things = [...document.querySelectorAll(whole)].map((thing) => thing.matches('tr') ? thing.cells[0] :
      thing.matches('svg') ? thing.parentElement.insertBefore(document.createElement('div'), thing).appendChild(thing).parentElement : thing);
    things.forEach((thing, at) => {
      thing.style.position = 'relative';
      for (const end of ['top', 'bottom']) {
        const mark = document.createElement('i');
        mark.className = 'mark';
        mark.textContent = `${end}${at}${end}`;
        mark.style.cssText = `position:absolute;left:0;${end}:0;font-size:1px;line-height:1px;color:#888`;
        thing.append(mark);
      }
    });
    return things.length;
  }, WHOLE);
  const file = join(SHOTS, `${name}-${paper}.pdf`);
  await page.pdf({ path: file, format: paper });
  const sheets = execFileSync('pdftotext', ['-raw', file, '-'], { encoding: 'utf8' }).split('\f').slice(0, -1);
  const at = (mark) => sheets.findIndex((text) => text.includes(mark));
  check(where, count > 0, 'nothing to print');
  for (let i = 0; i < count; i++) {
    const [top, bottom] = [at(`top${i}top`), at(`bottom${i}bottom`)];
    check(where, top >= 0 && top === bottom, `thing ${i} is on sheets ${top + 1} and ${bottom + 1}`);
  }
  const most = SHEETS[name]?.[paper];
  if (most)
    check(where, sheets.length <= most, `takes ${sheets.length} sheets, not ${most}`);
}

// Tag, own text, and box of whatever is read or written on.
const boxes = (page) => page.evaluate(() => {
  const seen = 'h1,h2,h3,h4,p,li,caption,th,td.write,td.number,.amount,.amount+span,.then,input,svg,.hazards';
  return [...document.querySelectorAll(seen)].map((one) => {
    const box = one.getBoundingClientRect();
    const text = one.matches('svg') ? one.querySelector('title').textContent :
      one.matches('input') ? one.getAttribute('aria-label') : one.matches('.hazards') ? '' : one.textContent.trim();
    return [one.tagName.toLowerCase(), text, ...[box.x, box.y, box.width, box.height].map(Math.round)];
  }).filter((row) => row[4] > 0 && row[5] > 0);
});

function compare(where, got, wanted) {
  check(where, got.length === wanted.length, `${got.length} things are seen, ${wanted.length} were`);
  for (let i = 0; i < Math.min(got.length, wanted.length); i++) {
    const [one, other] = [got[i], wanted[i]];
    check(where, one[0] === other[0] && one[1] === other[1], `${one[0]} "${one[1]}" stands where ${other[0]} "${other[1]}" did`);
    for (let j = 2; j < 6; j++)
      check(where, Math.abs(one[j] - other[j]) <= Math.max(SLACK, DRIFT * other[j]),
        `${one[0]} "${one[1]}" is at ${one.slice(2)}, was at ${other.slice(2)}`);
  }
}

function keep(name, seen) {
  const file = join(expected, `${name}.json`);
  if (bless) {
    const lines = Object.entries(seen).map(([view, rows]) => `${JSON.stringify(view)}: [\n${rows.map((row) => JSON.stringify(row)).join(',\n')}\n]`);
    writeFileSync(file, `{\n${lines.join(',\n')}\n}\n`);
    return;
  }
  if (!existsSync(file))
    return fault(name, 'nothing is kept to compare with: run with --bless');
  const wanted = JSON.parse(readFileSync(file, 'utf8'));
  for (const view of Object.keys(wanted))
    compare(`${name} ${view}`, seen[view] ?? [], wanted[view]);
}

async function lookClosely(page, name) {
  const seen = {};
  for (const width of WIDTHS) {
    await page.setViewportSize({ width, height: 800 });
    await narrow(page, `${name} ${width}`);
    seen[width] = await boxes(page);
    await page.screenshot({ path: join(SHOTS, `${name}-${width}.png`), fullPage: true });
    await judge(page, `${name} ${width}`);
  }
  await page.emulateMedia({ colorScheme: 'dark' });
  await judge(page, `${name} dark`);
  await page.screenshot({ path: join(SHOTS, `${name}-dark.png`), fullPage: true });
  await page.emulateMedia({ media: 'print', colorScheme: 'light' });
  await page.setViewportSize({ width: 499, height: 734 }); // A5 within its margins, at 96 px an inch
  seen.A5 = await boxes(page);
  await page.screenshot({ path: join(SHOTS, `${name}-print.png`), fullPage: true });
  await page.emulateMedia({ media: null });
  keep(name, seen);
  for (const paper of PAPERS) {
    await page.goto(page.wanted);
    await printed(page, `${name} ${paper}`, name, paper);
  }
}

async function look(page, name) {
  page.wanted = pathToFileURL(resolve('pages', `${name}.html`)).href;
  await page.emulateMedia({ media: null, colorScheme: 'light' });
  await page.setViewportSize({ width: 360, height: 800 });
  await page.goto(page.wanted);
  if (name.startsWith('kept-'))
    return lookClosely(page, name);
  await narrow(page, name);
  await judge(page, name);
}

const profile = mkdtempSync(join(tmpdir(), 'browser-'));
mkdirSync(SHOTS, { recursive: true });
const context = await chromium.launchPersistentContext(profile, {
  executablePath: program,
  headless: true,
  args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
    '--disable-component-update', '--disable-sync'],
});
const names = readdirSync('pages').map((file) => file.replace(/\.html$/, ''));
const waiting = [...names];

async function lookAtTheNext() { // until none is left; several do so at once
  const page = await context.newPage();
  let now = '';
  listen(page, () => now);
  while ((now = waiting.shift()))
    await look(page, now);
}

try {
  await Promise.all(Array.from({ length: Math.max(2, availableParallelism()) }, lookAtTheNext));
} finally {
  await context.close();
  rmSync(profile, { recursive: true, force: true });
}
console.log(`${names.length} pages, ${checks} checks, ${faults} faults`);
process.exit(faults || names.length < 20 ? 1 : 0);
