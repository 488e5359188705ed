// Goes the way through the desk as its people do: check_desk.mjs ADDRESS TESTDATA [PICTURES]. ADDRESS lets one in once;
// PICTURES is a folder for pictures of all rooms.
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const [, , address, testdata, pictures] = process.argv;
const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const demo = join(testdata, 'demo');
const { origin } = new URL(address);
let wrong = 0;
let conflict = false; // wanted: the browser tells of every refusal

function expect(what, held) {
  if (held) return;
  console.log(`FAIL ${what}`);
  wrong++;
}

// As root (in a container) Chromium has no sandbox to start in.
const sandbox = process.getuid && process.getuid() === 0 ? ['--no-sandbox'] : [];
const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: sandbox });

// A window that tells what it complains of and whether it asks anybody but the desk.
async function open(at, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...options });
  const page = await context.newPage();
  page.setDefaultTimeout(20000);
  page.on('console', (message) => expect(`console: ${message.text()} ${message.location().url}`, message.type() !== 'error' || (conflict && message.text().includes('409'))));
  page.on('pageerror', (error) => expect(`error: ${error.message}`, false));
  page.on('request', (request) =>
    expect(`asks for ${request.url()}`, new URL(request.url()).origin === origin || /^(data|blob):/.test(request.url())),
  );
  await page.goto(at);
  await page.waitForSelector('#visit-name');
  return page;
}

async function picture(page, name) {
  if (pictures) await page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
}

// What a reader would be stopped by; the script is put in by the browser itself, past the page's policy.
async function judge(page, name) {
  await page.addScriptTag({ path: axe });
  const { violations } = await page.evaluate(() => window.axe.run(document, { iframes: false }));
  for (const found of violations)
    expect(
      `${name}: axe: ${found.id}: ${found.help}: ${found.nodes
        .map((node) => node.html)
        .join(' | ')
        .slice(0, 300)}`,
      false,
    );
  expect(`${name}: nothing is wider than the window`, await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth));
  expect(`${name}: all is kept`, (await page.locator('.keeping.troubled').count()) === 0);
  await picture(page, name);
}

const room = (page, name) => page.waitForSelector(`.room.${name} h1`);
const text = (page, selector) => page.locator(selector).innerText();
const mapped = (page) => page.waitForSelector('.room.map .mapped img', { timeout: 20000 });

// ---- by mouse: the soybean demo, from an empty folder to the comparison of its seasons ----
async function bringField(page) {
  await page.fill('#visit-name', 'North forty 2026');
  await page.getByRole('button', { name: 'Start a visit' }).click();
  await room(page, 'field');
  await page.setInputFiles('#bring-field', join(demo, 'field.geojson'));
  await page.waitForSelector('.outline');
  expect(`the area stands first: ${await text(page, '.chosen-field h2')}`, (await text(page, '.chosen-field h2')) === '39.4 acres (15.9 ha)');
  await page.click('#go-on');
}

async function bringStops(page) {
  await room(page, 'readings');
  await page.setInputFiles('#bring-stops', join(demo, 'stops-2026.csv'));
  await page.waitForSelector('.checked h2');
  expect(
    'columns are guessed',
    (await page.inputValue('#column-hits')) === 'infected' &&
      (await page.inputValue('#column-checked')) === 'checked' &&
      (await page.inputValue('#column-id')) === 'stop' &&
      (await page.inputValue('#column-when')) === 'date',
  );
  expect(`with a reason: ${await text(page, '#column-hits-help')}`, (await text(page, '#column-hits-help')).startsWith('Taken because'));
  expect('first rows are shown', (await page.locator('.columns tbody tr').count()) === 8);
  expect(`it is the field: ${await text(page, '.fits')}`, (await text(page, '.fits')).includes('All 99 stops lie in it.'));
  expect(`the check counts: ${await text(page, '.checked')}`, (await text(page, '.checked')).includes('97 stops of 99 can be used.'));
  expect('stops are dots', (await page.locator('.plane .stop').count()) === 99);
  await page.locator('.findings').getByRole('button', { name: 'Stop 62' }).click();
  expect(
    `a click goes to the stop: ${await text(page, '.stop-card')}`,
    /Stop 62[^]*nothing written down[^]*Not used/.test(await text(page, '.stop-card')),
  );
  await picture(page, 'readings');
  await page.click('#go-on');
}

async function choose(page) {
  await room(page, 'map');
  await page.selectOption('#set-disease', 'sclerotinia-stem-rot-of-soybean');
  await page.getByText('black hard sclerotia').waitFor();
  await page.locator('.plane-view').scrollIntoViewIfNeeded();
  const plane = await page.locator('.plane-view').boundingBox();
  await page.mouse.move(plane.x + plane.width / 2 - 10, plane.y + plane.height - 60);
  await page.mouse.down();
  await page.mouse.move(plane.x + plane.width / 2 + 16, plane.y + 60, { steps: 6 });
  await page.mouse.up();
  expect(
    `a pulled line gives the rows: ${await page.inputValue('#set-row-heading')}`,
    ['4', '5', '6', '7'].includes(await page.inputValue('#set-row-heading')),
  );
  await page.fill('#set-row-heading', '6');
  await page.click('#make');
  await page.locator('#set-threshold-wrong, .run .problem').first().waitFor();
  expect('without a threshold it says what is missing', (await text(page, '.room')).toLowerCase().includes('threshold'));
}

async function lookAtMap(page) {
  await page.fill('#set-threshold', '10');
  await page.click('#make');
  await mapped(page);
  expect(`the finding is the heading: ${await text(page, 'h1')}`, (await text(page, 'h1')) === '3 hotspots, 7.5 acres');
  expect('cautions stand beside', (await text(page, 'aside')).includes('The label is the law'));
  await page.evaluate(() => window.scrollTo(0, 0));
  if (pictures) await page.screenshot({ path: join(pictures, 'desk.png') }); // docs/desk.png
  await picture(page, 'map');
  // The acres under the slider against the zone that the map made of the same chance; they are apart by what is too small.
  const acres = async () => Number((await text(page, 'output[for="if-chance"]')).match(/about ([\d.]+) acres/)[1]);
  await page.getByText('50 %: about').waitFor();
  expect(`the slider tells the acres: ${await acres()}`, Math.abs((await acres()) - 7.5) < 0.2);
  await page.locator('#if-chance').evaluate((bar) => {
    bar.value = 25;
    bar.dispatchEvent(new Event('input'));
  });
  expect(`and they follow: ${await acres()}`, (await acres()) > 9);
  await page.locator('#if-chance').evaluate((bar) => {
    bar.value = 50;
    bar.dispatchEvent(new Event('input'));
  });
  await page.click('#view-live');
  await page.frameLocator('#live').getByRole('heading', { name: 'The map' }).waitFor();
  expect('and beside the live map', await page.locator('aside').isVisible());
  await page.click('#go-on');
}

async function printAndAct(page) {
  await room(page, 'print');
  for (const one of await page.locator('.papers a').all()) {
    const got = await page.request.get(new URL(await one.getAttribute('href'), origin).href);
    expect(`${await one.getAttribute('href')}: ${got.status()}`, got.status() === 200);
  }
  await page.click('#go-on');
  await room(page, 'act');
  expect('ten places to dig', (await page.locator('.rows tbody tr').count()) === 10);
  await page.fill('#set-product', 'AS ON ITS LABEL');
  await page.fill('#set-treat', '15');
  await page.selectOption('#set-unit', 'gal/ac');
  await page.click('#make-sprayer');
  expect(`refused with its reason: ${await text(page, '#refused')}`, (await text(page, '#refused')).includes('too late'));
  await picture(page, 'act');
  await page.fill('#note-crop', 'soybean');
  await page.click('#record');
  await page.locator('.room').getByText('It is in the history').waitFor();
}

async function earlierSeason(page) {
  await page.getByRole('link', { name: 'Desk', exact: true }).click();
  await page.fill('#visit-name', 'North forty 2024');
  await page.keyboard.press('Enter');
  await room(page, 'field');
  await page.getByLabel('field.geojson').check();
  await page.click('#go-on');
  await room(page, 'readings');
  await page.setInputFiles('#bring-stops', join(demo, 'stops-2024.csv'));
  await page.click('#go-on');
  await room(page, 'map');
  await page.selectOption('#set-disease', 'sclerotinia-stem-rot-of-soybean');
  await page.fill('#set-threshold', '10');
  await page.fill('#set-row-heading', '6');
  await page.click('#make');
  await mapped(page);
  await page.getByRole('link', { name: 'Desk', exact: true }).click();
  await page.getByRole('link', { name: 'Compare seasons' }).click();
  await room(page, 'seasons');
  for (const box of await page.locator('.taking input').all()) await box.check();
  await page.click('#compare');
  await page.waitForSelector('#persistence', { timeout: 20000 });
  expect(`they are compared: ${await text(page, '.result aside')}`, (await text(page, '.result aside')).includes('hot in both seasons'));
  await picture(page, 'seasons');
}

// ---- by keyboard alone ----

// Walks on by Tab until the wanted thing has the focus.
async function tabTo(page, selector) {
  for (let i = 0; i < 400; i++) {
    if (await page.evaluate((wanted) => Boolean(document.activeElement && document.activeElement.matches(wanted)), selector)) return;
    await page.keyboard.press('Tab');
  }
  expect(`the keyboard reaches ${selector}`, false);
}

async function press(page, selector, key = 'Enter') {
  await page.waitForSelector(selector);
  await tabTo(page, selector);
  await page.keyboard.press(key);
}

async function type(page, selector, what) {
  await page.waitForSelector(selector);
  await tabTo(page, selector);
  await page.keyboard.press('Control+A');
  await page.keyboard.type(what);
}

async function drawn(page) {
  await judge(page, 'start');
  await type(page, '#visit-name', 'Home quarter');
  await page.keyboard.press('Enter');
  await room(page, 'field');
  await judge(page, 'field');
  await press(page, '#draw');
  await type(page, '#corner-place', '42.9737, -39.3412');
  await page.keyboard.press('Enter');
  for (const [far, where] of [
    ['1320', 'E'],
    ['660', 'N'],
    ['1320', '270'],
    ['100', 'w'],
  ]) {
    await type(page, '#corner-far', far);
    await type(page, '#corner-where', where);
    await page.keyboard.press('Enter');
  }
  await press(page, '#undo');
  await page.waitForFunction(() => document.querySelectorAll('.corner').length === 4);
  // A quarter mile by an eighth: 20 acres (Public Land Survey System: half of a quarter of a quarter section).
  expect(`the area grows: ${await text(page, 'p.area')}`, (await text(page, 'p.area')) === '20.0 acres (8.1 ha)');
  await press(page, '.plane-view', 'Enter');
  await page.waitForFunction(() => document.querySelectorAll('.corner').length === 5);
  await press(page, '#undo');
  await page.waitForFunction(() => document.querySelectorAll('.corner').length === 4);
  await press(page, '#close-ring');
  await judge(page, 'drawing');
  await type(page, '#field-called', 'Home quarter');
  await page.keyboard.press('Enter');
  await page.waitForSelector('.outline');
  expect(`the desk finds the same: ${await text(page, '.chosen-field h2')}`, (await text(page, '.chosen-field h2')) === '20.0 acres (8.1 ha)');
}

async function planned(page) {
  await press(page, '#to-walk');
  await room(page, 'walk');
  await type(page, '#walk-stops', '30');
  await press(page, '#lay');
  await page.waitForSelector('#open-sheet');
  expect(
    `the walk says what it would find: ${await text(page, '.laid li >> nth=0')}`,
    (await text(page, '.laid li >> nth=0')).startsWith('30 stops'),
  );
  await judge(page, 'walk');
  await press(page, '#type-in');
}

async function typed(page) {
  await room(page, 'readings');
  await page.waitForSelector('#cell-29-stop');
  expect(
    'the plan\u2019s stops are rows',
    (await page.inputValue('#cell-29-stop')) === 'S30' && /^42\.97\d+, -39\.3\d+$/.test(await page.inputValue('#cell-29-place')),
  );
  await press(page, '#undo');
  await page.waitForSelector('#source-file:checked');
  await tabTo(page, '#source-file');
  await page.keyboard.press('ArrowDown');
  await type(page, '#sheet-checked', '30');
  for (let i = 0; i < 4; i++) {
    await type(page, `#cell-${i}-stop`, `A${i + 1}`);
    await type(page, `#cell-${i}-place`, `42.97${400 + 20 * i}, -39.3${390 - 7 * i}`);
    if (i !== 2) await type(page, `#cell-${i}-hits`, String(3 * i));
  }
  await press(page, '#check');
  await page.waitForSelector('.checked h2');
  const said = await text(page, '.room');
  expect('zero is typed, blank stays blank', said.includes('4 stops, 1 with zero, 1 blank') && said.includes('Stop A3 has a blank reading'));
  await judge(page, 'sheet');
  await page.reload();
  await page.waitForSelector('#cell-3-hits');
  expect(
    'what was typed outlives the window',
    (await page.inputValue('#cell-1-hits')) === '3' &&
      (await page.inputValue('#cell-2-hits')) === '' &&
      (await page.inputValue('#cell-0-hits')) === '0',
  );
  await press(page, '.home');
}

// A stop of a file is left out with a reason, and taken back.
async function mended(page) {
  await press(page, '.checked summary');
  await press(page, '.stops-table button');
  await press(page, '.stop-card summary');
  await type(page, '#out-reason', 'another row was counted');
  await page.keyboard.press('Enter');
  await page.waitForSelector('tr.out');
  expect('counts stay counts', (await page.inputValue('#cell-3-hits')) === '3' && (await page.inputValue('#cell-3-checked')) === '100');
  await page.getByText('78 stops of 79 can be used').waitFor();
  await press(page, '#take-back');
  await page.waitForFunction(() => !document.querySelector('tr.out'));
  await page.getByText('79 stops of 79 can be used').waitFor();
}

async function peanut(page) {
  await press(page, '#sample-peanut');
  await room(page, 'readings');
  await page.waitForSelector('.checked h2');
  await judge(page, 'readings');
  await mended(page);
  await press(page, '#go-on');
  await room(page, 'map');
  await judge(page, 'choices');
  await press(page, '#make');
  await press(page, '#cancel');
  await page.locator('.run').getByText('Ended, as you asked').waitFor();
  await press(page, '#make');
  await mapped(page);
  await judge(page, 'mapped');
  await press(page, '#go-on');
  await room(page, 'print');
  await judge(page, 'print');
  await press(page, '#go-on');
  await room(page, 'act');
  await press(page, '#make-sprayer');
  await page.waitForSelector('#set-treat[aria-invalid]');
  await type(page, '#set-product', 'AS ON ITS LABEL');
  await tabTo(page, '#set-unit');
  await page.keyboard.press('g');
  await type(page, '#set-treat', '15');
  await press(page, '#make-sprayer');
  await page.waitForSelector('#save-sprayer');
  await judge(page, 'act');
  const zip = await page.request.get(new URL(await page.getAttribute('#save-sprayer', 'href'), origin).href);
  expect('the sprayer\u2019s files are a zip', (await zip.body()).subarray(0, 2).toString() === 'PK');
}

// ---- a phone, and a second window ----
async function onPhone(page, visit) {
  await page.setViewportSize({ width: 360, height: 740 });
  for (const name of ['field', 'walk', 'readings', 'map', 'print', 'act']) {
    await page.goto(`${origin}/#/${visit}/${name}`);
    await room(page, name);
    await page.waitForSelector(`.way .here [href$="/${name}"]`);
    await judge(page, `phone-${name}`);
  }
  for (const name of ['seasons', 'start']) {
    await page.goto(`${origin}/#/${name}`);
    await room(page, name);
    await judge(page, `phone-${name}`);
  }
}

async function twoWindows(page) {
  const other = await page.context().newPage();
  other.setDefaultTimeout(20000);
  await page.goto(`${origin}/#/home-quarter/readings`);
  await other.goto(`${origin}/#/home-quarter/readings`);
  await page.waitForSelector('#cell-3-hits');
  await other.waitForSelector('#cell-3-hits');
  await page.fill('#cell-0-hits', '7');
  await page.getByText('All kept').waitFor();
  conflict = true;
  await other.fill('#cell-0-hits', '8');
  await other.click('#take-theirs');
  await other.waitForFunction(() => document.querySelector('#cell-0-hits').value === '7');
}

const page = await open(address);
for (const part of [bringField, bringStops, choose, lookAtMap, printAndAct]) await part(page);
await earlierSeason(page);
await page.getByRole('button', { name: 'Open another window' }).click();
const second = await text(page, 'footer .answer a');
const keys = await open(second, { bypassCSP: true });
await drawn(keys);
await planned(keys);
await typed(keys);
await peanut(keys);
await onPhone(keys, 'sample-peanut-2026');
await twoWindows(keys);
await keys.goto(`${origin}/#/start`);
await keys.getByRole('button', { name: 'Close the desk' }).click();
await keys.getByRole('button', { name: 'Yes, close it' }).click();
await keys.getByText('The desk is closed').waitFor();
await browser.close();
if (wrong) process.exit(1);
console.log('the desk: from a boundary to the comparison of seasons by mouse, to the sprayer by keys, on a phone');
