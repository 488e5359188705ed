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
async function open(name, options = {}) {
  const context = await browser.newContext({ offline: true, viewport: { width: 1100, height: 1400 }, ...options });
  const page = await context.newPage();
  const url = `file://${folder}/${name}/report.html`;
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
for (const name of ['letter', 'a4', 'few']) {
  const page = await open(name, { bypassCSP: true });
  await page.addScriptTag({ path: axe });
  const { violations } = await page.evaluate(() => window.axe.run());
  for (const found of violations)
    expect(`${name}: axe: ${found.id}: ${found.help}: ${found.nodes.map((node) => node.html).join(' | ').slice(0, 300)}`, false);
  await page.context().close();
}

// ---- values under the pointer: stops in the middle of their cell, against what GDAL reads of the layers ----
const page = await open('letter');
const out = page.locator('#read-out');
const told = await page.locator('#map').evaluate((svg) => ({ ...svg.dataset }));
const near = (a, b) => Math.abs(a - b) <= 0.006 * Math.abs(b) + 1e-9; // three digits are printed
let compared = 0;
for (const line of readFileSync(`${folder}/values`, 'utf8').trim().split('\n')) {
  const [lon, lat, stop, ...wanted] = line.split(' ');
  const dot = page.locator('#map .stops circle').filter({ has: page.locator(`xpath=./*[starts-with(., 'Stop ${stop}:')]`) });
  if (await dot.count() !== 1) continue; // left out or put together with another
  const [x, y] = await dot.evaluate((circle) => [circle.cx.baseVal.value, circle.cy.baseVal.value]);
  const part = (at, from) => ((at / told.scale - from) / told.cell) % 1;
  if ([part(x, told.west), part(y, told.north)].some((at) => at < 0.3 || at > 0.7)) continue;
  const box = await dot.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  const said = await out.textContent();
  const read = said.match(/^Incidence ([\d.]+) % \(90 % bounds: ([\d.]+) % to ([\d.]+) %\); chance of 10 % or more: (over |under )?(\d+)\u00A0%\. (-?[\d.]+), (-?[\d.]+)$/);
  expect(`stop ${stop}: '${said}'`, read);
  if (!read) continue;
  for (let i = 0; i < 3; i++) expect(`stop ${stop}: '${said}', not ${wanted[i]}`, near(Number(read[i + 1]), Number(wanted[i])));
  const chance = 100 * wanted[3];
  expect(`stop ${stop}: '${said}', not ${chance} %`, read[4] === 'over ' ? chance > 99 : read[4] === 'under ' ? chance < 1 : Math.abs(read[5] - chance) <= 0.51);
  expect(`stop ${stop}: '${said}', not at ${lat}, ${lon}`, Math.abs(read[6] - lat) < 2e-5 && Math.abs(read[7] - lon) < 2e-5);
  compared++;
}
expect(`values of ${compared} stops were compared`, compared >= 4);
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

// ---- a finger ----
const phone = await open('letter', { viewport: { width: 390, height: 1600 }, hasTouch: true, isMobile: true });
const spot = await phone.locator('#map .hotspots > g > path').first().boundingBox();
await phone.touchscreen.tap(spot.x + spot.width / 2, spot.y + spot.height / 2);
expect('a tap reads', (await phone.locator('#read-out').textContent()).startsWith('Incidence '));
expect('nothing is wider than a phone', await phone.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth));
await phone.context().close();

// ---- without scripts: all is there, and no switch that would do nothing ----
const plain = await open('letter', { javaScriptEnabled: false });
expect('plain: the map is seen', await plain.locator('#map #ground').isVisible());
expect('plain: chance and bounds are seen', await plain.locator('.others img').count() === 3 && await plain.locator('.others img').nth(2).isVisible());
expect('plain: the zones are seen', await plain.locator('.zone-map').isVisible());
expect('plain: no switches', !(await plain.locator('#switches').isVisible()) && !(await plain.locator('#read-out').isVisible()));
expect('plain: tables', await plain.locator('table').count() >= 5);
await plain.context().close();

// ---- on paper ----
const scratch = mkdtempSync(join(tmpdir(), 'pages-'));
async function print(name, size, least, most) {
  const printed = await open(name);
  const file = join(scratch, `${name}.pdf`);
  writeFileSync(file, await printed.pdf({ preferCSSPageSize: true }));
  const about = execFileSync('pdfinfo', [file], { encoding: 'utf8' });
  const pages = Number(about.match(/^Pages: *(\d+)/m)[1]);
  expect(`${name}: ${pages} pages`, pages >= least && pages <= most);
  expect(`${name}: the paper is ${size}`, about.includes(size));
  const text = execFileSync('pdftotext', ['-raw', '-l', '1', file, '-'], { encoding: 'utf8' });
  expect(`${name}: the first page has title and caution`, text.includes('The label is the law') && text.includes('The map'));
  await printed.context().close();
}
await print('letter', '612 x 792 pts (letter)', 3, 4);
await print('a4', '(A4)', 2, 4);
await print('few', '612 x 792 pts (letter)', 1, 3);

await browser.close();
if (wrong) process.exit(1);
console.log(`all reports open, read and print; values of ${compared} stops compared`);
