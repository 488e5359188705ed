// Every sentence of the page: here, and for single rooms in words_visit.js and words_survey.js.
import { visitWords } from '/page/words_visit.js';
import { surveyWords } from '/page/words_survey.js';
export { plural } from '/page/words_tools.js';

// How a setting is called where the program's messages name it.
const settingNames = {
  field: 'field',
  'field-name': 'name of the field',
  'field-layer': 'layer of the field',
  'field-column': 'column of the field\u2019s name',
  layer: 'layer',
  value: 'score',
  hits: 'infected',
  checked: 'looked at',
  id: 'stop\u2019s name',
  when: 'date',
  from: 'first day',
  to: 'last day',
  rated: 'how it was rated',
  rater: 'who rated',
  crs: 'reference system',
  xy: 'coordinate columns',
  dates: 'how dates are written',
  disease: 'disease',
  'even-so': 'your reason to go on',
  threshold: 'threshold',
  limits: 'what a score can be',
  'scale-of': 'scale of the scores',
  surface: 'kind of surface',
  'row-heading': 'direction of the rows',
  earlier: 'earlier survey',
  cell: 'cell size',
  'treat-chance': 'chance to treat from',
  'dig-chance': 'chance to dig from',
  'least-area': 'smallest hotspot',
  swath: 'boom width',
  'least-run': 'shortest run',
  margin: 'margin',
  digs: 'places to dig',
  season: 'season',
  paper: 'paper',
  'letter-from': 'who signs the letter',
  treat: 'rate to treat',
  dig: 'rate to dig',
  leave: 'rate to leave',
  unit: 'unit of the rate',
  product: 'product',
  form: 'kind of file',
  overwrite: 'overwrite',
};

export const settingName = (name) => settingNames[name] || name.replace(/-/g, ' ');

const quoted = (name) => `\u201c${settingName(name)}\u201d`;

// A message of the program in the page's words: settings by the names that stand beside their boxes.
export function plain(text) {
  return String(text)
    .replace(/--([a-z][a-z-]*[a-z])\b(?: [A-Z][A-Z_,]{2,})?/g, (whole, name) => quoted(name))
    .replace(/\b([a-z][a-z-]*) [A-Z][A-Z_,]{2,}\b/g, (whole, name) => (settingNames[name] ? quoted(name) : whole))
    .replace(/(^|[ (;,])([a-z]+(?:-[a-z]+)+)(?=[ ).,;:]|$)/g, (whole, before, name) =>
      settingNames[name] ? before + quoted(name) : whole,
    )
    .replace(/^[a-z](?=[a-z']*[ ,])/, (letter) => letter.toUpperCase());
}

export const words = {
  program: 'fieldfoci',
  desk: 'Desk',
  at_row: (row) => `row ${row}`,
  no_answer: 'The desk gave no answer; try again.',
  desk_gone:
    'The desk does not answer. Is the program still running? What you typed last is kept here: start the desk again, then change anything to keep it.',
  key_needed:
    'This window may not speak to the desk any more. Open it by the address that the program printed, or by \u201cOpen another window\u201d.',
  canceled: 'Ended, as you asked. Nothing was changed.',
  crashed:
    'The program ended before it was done. Your files are as they were. Try once more; with very many stops, close other programs first.',

  saving: 'Keeping \u2026',
  kept: 'All kept',
  not_kept: 'Not kept yet: ',
  conflict: 'This visit was changed in another window. Both cannot hold: which one is right?',
  take_theirs: 'Take what the other window kept',
  keep_mine: 'Keep what stands here',
  undo: (what) => `Undo: ${what}`,
  undone: (what) => `Undone: ${what}`,
  undo_nothing: 'Nothing to undo',

  rooms: {
    start: 'Desk',
    field: 'Field',
    walk: 'Walk',
    readings: 'Readings',
    map: 'Map',
    print: 'Print',
    act: 'Act',
    seasons: 'Seasons',
  },
  way: 'The way through this visit',
  here: 'you are here',
  done: 'done',
  back: 'Back to the desk',
  visit: (name) => `Visit: ${name}`,
  next: (room) => `Go on to ${room}`,

  foot: {
    folder: (path) => `All of it lies on this computer, in ${path}. Nothing is sent anywhere.`,
    units: 'Areas and lengths',
    us: 'acres and feet first',
    metric: 'hectares and meters first',
    window: 'Open another window',
    window_help: 'This address opens the desk once, in any browser on this computer:',
    close: 'Close the desk',
    closed: 'The desk is closed. All is kept. You may close this window.',
    close_sure: 'Close the desk? What it is working on ends; all else is kept.',
    yes_close: 'Yes, close it',
    no: 'No',
  },

  plane: {
    larger: 'Larger',
    smaller: 'Smaller',
    all: 'See all',
    help: 'Pull to move. Keys: arrows move, plus and minus enlarge, 0 shows all, Enter takes what is under the cross.',
  },

  steps: {
    field: 'choice of the field',
    corner: 'a corner',
    corner_moved: 'a corner moved',
    corner_out: 'a corner taken out',
    ring: 'the ring closed',
    hole: 'a hole begun',
    afresh: 'the drawing begun anew',
    file: 'the file of readings',
    file_out: 'a file taken out',
    way: 'file or paper',
    setting: (name) => settingName(name),
    cell: 'what was typed',
    row: 'a row',
    place: 'a place',
    kind: 'what was counted',
    rows: 'direction of the rows',
    walk: 'the plan of the walk',
    notes: 'a note for the history',
    mend: 'readings taken over to be mended',
    out: 'a stop left out or taken back',
  },

  // Over the boxes of settings, and one line under each; what is not here is helped by the program's own catalog.
  labels: {
    disease: 'Disease',
    threshold: 'Threshold',
    'row-heading': 'Degrees clockwise from north',
    season: 'Season',
    'letter-from': 'Who signs the letter',
    paper: 'Paper',
    digs: 'Places to dig and look',
    earlier: 'An earlier season of this field',
    'even-so': 'Your reason to go on',
    treat: 'Rate where it says treat',
    dig: 'Rate where it says dig',
    leave: 'Rate on the rest',
    unit: 'Unit',
    product: 'Product, as its label calls it',
  },
  help: {
    disease: 'Choose it only if you are sure what it is; the map then carries what is to be minded with it.',
    threshold:
      'From how much on would you act? In percent of the plants looked at, or in the unit of your scores. It is your choice and your adviser\u2019s.',
    'row-heading': '0 is north to south, 90 is east to west. Patches may then be longer along the rows.',
    season: 'How this season is called when seasons are compared. If you leave it out: the year of the walk.',
    'letter-from': 'A name at the end of the letter to the grower.',
    paper: 'What the sheet is printed on. With A4, hectares and meters come first on it.',
    digs: 'How many places to propose, 10 if you leave it out. A fifth of them lie outside the hotspots, so that misses are found too.',
    earlier: 'Used only where it helps: where stops that were left out are told better with it.',
    swath: 'Of the sprayer. Zones are then made of lanes this wide along the rows.',
    'least-run': 'The shortest stretch that the sprayer can switch on or off.',
    margin: 'Added round what is to be treated, for the error of the position.',
    'treat-chance':
      'A place is \u201ctreat\u201d where the chance of passing the threshold is at least this. 50 if you leave it out.',
    'dig-chance': 'A place is \u201cdig and look\u201d where the chance is at least this. 20 if you leave it out.',
    'even-so': 'It is printed on everything that is made from here on.',
    treat: 'As the label says. The program proposes no rate.',
    dig: '0 if you leave it out.',
    leave: '0 if you leave it out.',
    unit: '',
    product: 'The program proposes no product. The label is the law.',
  },

  ...visitWords,
  ...surveyWords,
};
