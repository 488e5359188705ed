// Opens the reports in a folder as their readers do: check_report.mjs FOLDER
import { readFileSync, mkdtempSync, writeFileSync } from 'node:fs';
import { execFileSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createRequire } from 'node:module';
import { chromium } from 'playwright-core';

const folder = process.argv[2];
const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
let wrong = 0;

function expect(what, held) {
  if (held) return;
  console.log(`FAIL ${what}`);
  wrong++;
}

// As root (in a container) Chromium has no sandbox to start in.
const sandbox = process.getuid && process.getuid() === 0 ? ['--no-sandbox'] : [];
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: sandbox });

// A page that tells what it complains of and what it asks for besides itself.
async function open(name, options = {}, file = 'report.html') {
  const context = await browser.newContext({ offline: true, viewport: { width: 1100, height: 1400 }, ...options });
  const page = await context.newPage();
  const url = `file://${folder}/${name}/${file}`;
  page.on('console', (message) => expect(`${name}: console: ${message.text()}`, false));
  page.on('pageerror', (error) => expect(`${name}: error: ${error.message}`, false));
  page.on('request', (request) => expect(`${name}: asks for ${request.url()}`,
    request.url() === url || request.url().startsWith('data:')));
  await page.goto(url);
  return page;
}

// Moving takes a moment.
async function soon(what, held) {
  for (let i = 0; i < 40; i++) {
    if (await held()) return;
    await new Promise((done) => setTimeout(done, 50));
  }
  expect(what, false);
}

// ---- what axe-core finds: it is put in by the browser itself, past the page's policy ----
for (const [name, file] of [['letter'], ['a4'], ['few'], ['seasons'], ['letter', 'letter.html']]) {
  const page = await open(name, { bypassCSP: true }, file);
  await page.addScriptTag({ path: axe });
  const { violations } = await page.evaluate(() => window.axe.run());
  for (const found of violations)
    expect(`${name} ${file}: axe: ${found.id}: ${found.help}: ${found.nodes.map((node) => node.html).join(' | ').slice(0, 300)}`, false);
  await page.context().close();
}

// ---- values under the pointer: stops in the middle of their cell, against what GDAL reads of the layers ----
const page = await open('letter');
const out = page.locator('#read-out');
const told = await page.locator('#map').evaluate((svg) => ({ ...svg.dataset }));
const near = (a, b) => Math.abs(a - b) <= 0.006 * Math.abs(b) + 1e-9; // three digits are printed

// What the page reads at the stops of a file of values: said(line, text) for each that lies well inside its cell.
async function readStops(from, told, file, where, said) {
  let compared = 0;
  await from.locator('#viewer').scrollIntoViewIfNeeded();
  for (const line of readFileSync(`${folder}/${file}`, 'utf8').trim().split('\n')) {
    const [lon, lat, stop, ...wanted] = line.split(' ');
    const dot = from.locator(`${where} circle`).filter({ has: from.locator(`xpath=./*[starts-with(., 'Stop ${stop}:')]`) });
    if (await dot.count() !== 1) continue; // left out or put together with another
    const [x, y] = await dot.evaluate((circle) => [circle.cx.baseVal.value, circle.cy.baseVal.value]);
    const part = (at, start) => ((at / told.scale - start) / told.cell) % 1;
    if ([part(x, told.west), part(y, told.north)].some((at) => at < 0.3 || at > 0.7)) continue;
    const box = await dot.boundingBox();
    await from.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    const text = await from.locator('#read-out').textContent();
    const place = text.match(/\. (-?[\d.]+), (-?[\d.]+)$/);
    expect(`stop ${stop}: '${text}', not at ${lat}, ${lon}`,
      place && Math.abs(place[1] - lat) < 2e-5 && Math.abs(place[2] - lon) < 2e-5);
    if (said(stop, text, wanted)) compared++;
  }
  expect(`${file}: values of ${compared} stops were compared`, compared >= 4);
  return compared;
}

const compared = await readStops(page, told, 'values', '#map .stops', (stop, said, wanted) => {
  const read = said.match(/^Incidence ([\d.]+) % \(90 % bounds: ([\d.]+) % to ([\d.]+) %\); chance of 10 % or more: (over |under )?(\d+)\u00A0%\. /);
  expect(`stop ${stop}: '${said}'`, read);
  if (!read) return false;
  for (let i = 0; i < 3; i++) expect(`stop ${stop}: '${said}', not ${wanted[i]}`, near(Number(read[i + 1]), Number(wanted[i])));
  const chance = 100 * wanted[3];
  expect(`stop ${stop}: '${said}', not ${chance} %`, read[4] === 'over ' ? chance > 99 : read[4] === 'under ' ? chance < 1 : Math.abs(read[5] - chance) <= 0.51);
  return true;
});
await page.mouse.move((await page.locator('#viewer').boundingBox()).x + 8, (await page.locator('#viewer').boundingBox()).y + 300);
expect('outside is said', await out.textContent() === 'Outside the field.');

// ---- switches, by mouse and by keys ----
const ground = page.locator('#ground');
const first = await ground.getAttribute('href');
const shown = (key) => page.locator(`#map .overlay.${key}`).evaluate((group) => getComputedStyle(group).display !== 'none');
expect('zones are off at first', !(await shown('zones')) && await shown('stops') && await shown('digs'));
await page.getByRole('checkbox', { name: 'Zones' }).check();
await page.getByRole('checkbox', { name: 'Stops' }).uncheck();
expect('zones are on and stops off', await shown('zones') && !(await shown('stops')));
await page.getByRole('radio', { name: 'Chance of 10 % or more' }).check();
const second = await ground.getAttribute('href');
expect('another ground is drawn', second !== first && second.startsWith('data:image/png'));
expect('its legend is shown', (await page.locator('figure.map > .legend').textContent()).includes('below 10 %'));
await page.getByRole('radio', { name: 'Chance of 10 % or more' }).focus();
await page.keyboard.press('ArrowUp');
expect('keys choose the first ground', await ground.getAttribute('href') === first);
await page.getByRole('checkbox', { name: 'Stops' }).focus();
await page.keyboard.press('Space');
expect('keys switch stops on', await shown('stops'));

// ---- moving and reading by keys, pulling, enlarging ----
const corner = async () => (await page.locator('#map .stops circle').first().boundingBox()).x;
await page.locator('#viewer').focus();
const before = await corner();
await page.keyboard.press('ArrowRight');
await soon('an arrow key moves the map', async () => await corner() < before - 20);
const middle = await out.textContent();
expect(`the middle is read by keys: '${middle}'`, middle.startsWith('Incidence '));
await page.keyboard.press('ArrowUp');
await soon('and again where it was moved to', async () => await out.textContent() !== middle);
await new Promise((done) => setTimeout(done, 400));
const width = async () => (await page.locator('#map').boundingBox()).width;
const small = await width();
await page.keyboard.press('+');
expect('plus enlarges', await width() > 1.2 * small);
await page.getByRole('button', { name: 'Smaller' }).click();
expect('a button makes it smaller', Math.abs(await width() - small) < 2);
const held = await corner(), frame = await page.locator('#viewer').boundingBox();
await page.mouse.move(frame.x + 300, frame.y + 300);
await page.mouse.down();
await page.mouse.move(frame.x + 380, frame.y + 300, { steps: 40 });
await page.mouse.up();
await soon('pulling moves it', async () => Math.abs(await corner() - held - 80) < 8);
await page.context().close();

// ---- the comparison of seasons: the same viewer, other values ----
const both = await open('seasons');
const names = ['neither', 'gone', 'new', 'often', 'both', 'unsure']; // the codes of classes.tif, of two seasons
const stopsOf = (season) => both.getByRole('checkbox', { name: `Stops ${season}` });
await stopsOf('2026').check();
const places = await readStops(both, await both.locator('#map').evaluate((svg) => ({ ...svg.dataset })), 'values-of-seasons', '#map .stops1',
  (stop, said, wanted) => {
    const read = said.match(/^Class (\w+): [^;]+; expected number of seasons hot: ([\d.]+) of 2; hot in 2024: [^;]+; hot in 2026: [^;]+%\. /);
    expect(`stop ${stop}: '${said}'`, read);
    expect(`stop ${stop}: '${said}', not ${names[wanted[0]]}`, read && read[1] === names[wanted[0]]);
    expect(`stop ${stop}: '${said}', not ${wanted[1]}`, read && Math.abs(read[2] - wanted[1]) <= 0.0501);
    return read;
  });
const dots = both.locator('#map .overlay.stops0');
expect('stops of 2024 are off at first', !(await dots.isVisible()));
await stopsOf('2024').focus();
await both.keyboard.press('Space');
expect('keys switch stops of 2024 on', await dots.isVisible());
const classes = await both.locator('#ground').getAttribute('href');
await both.getByRole('radio', { name: '2024: chance of being hot' }).check();
expect('a season\'s chance is another ground', await both.locator('#ground').getAttribute('href') !== classes);
expect('its legend is shown', (await both.locator('figure.map > .legend').textContent()).includes('75 % and over'));
await both.getByRole('radio', { name: '2026 by itself' }).check();
await both.locator('#viewer').focus();
await both.keyboard.press('ArrowLeft');
await soon('its own estimate is read with it', async () => / 2026 by itself: incidence [\d.]+ %\. /.test(await both.locator('#read-out').textContent()));
await both.context().close();

// ---- a finger ----
const phone = await open('letter', { viewport: { width: 390, height: 1600 }, hasTouch: true, isMobile: true });
const spot = await phone.locator('#map #hotspots-shapes > g > path').first().boundingBox();
await phone.touchscreen.tap(spot.x + spot.width / 2, spot.y + spot.height / 2);
expect('a tap reads', (await phone.locator('#read-out').textContent()).startsWith('Incidence '));
expect('nothing is wider than a phone', await phone.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth));
await phone.context().close();

// ---- without scripts: all is there, and no switch that would do nothing ----
const plain = await open('letter', { javaScriptEnabled: false });
expect('plain: the map is seen', await plain.locator('#map #ground').isVisible());
expect('plain: chance and bounds are seen', await plain.locator('.others image').count() === 3 && await plain.locator('.others image').nth(2).isVisible());
expect('plain: the zones are seen', await plain.locator('.small-map').first().isVisible());
expect('plain: no switches', !(await plain.locator('#switches').isVisible()) && !(await plain.locator('#read-out').isVisible()));
expect('plain: tables', await plain.locator('table').count() >= 5);
await plain.context().close();
const still = await open('seasons', { javaScriptEnabled: false });
expect('plain seasons: the classes are seen', await still.locator('#map #ground').isVisible());
expect('plain seasons: and each season', await still.locator('.others image').count() === 5 && await still.locator('.others image').nth(4).isVisible());
expect('plain seasons: no switches', !(await still.locator('#switches').isVisible()));
await still.context().close();

// ---- on paper ----
const scratch = mkdtempSync(join(tmpdir(), 'pages-'));
async function print(name, size, least, most, format, shown = 'report.html') {
  const printed = await open(name, {}, shown);
  const file = join(scratch, `${name}.pdf`);
  writeFileSync(file, await printed.pdf({ preferCSSPageSize: !format, format }));
  const about = execFileSync('pdfinfo', [file], { encoding: 'utf8' });
  const pages = Number(about.match(/^Pages: *(\d+)/m)[1]);
  expect(`${name}: ${pages} pages`, pages >= least && pages <= most);
  expect(`${name}: the paper is ${size}`, about.includes(size));
  const text = execFileSync('pdftotext', ['-raw', '-l', '1', file, '-'], { encoding: 'utf8' });
  expect(`${name}: the first page has title and caution`, text.includes('The label is the law') && text.includes(shown === 'report.html' ? 'The map' : 'What was found'));
  await printed.context().close();
}
await print('letter', '612 x 792 pts (letter)', 3, 4);
await print('a4', '(A4)', 2, 4);
await print('few', '612 x 792 pts (letter)', 1, 3);
await print('seasons', '612 x 792 pts (letter)', 3, 4);
await print('seasons', '(A4)', 3, 4, 'A4');
await print('letter', '612 x 792 pts (letter)', 1, 1, undefined, 'letter.html');
await print('a4', '(A4)', 1, 1, undefined, 'letter.html');

await browser.close();
if (wrong) process.exit(1);
console.log(`all reports open, read and print; values of ${compared} and ${places} stops compared`);
