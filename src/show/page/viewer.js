/* The map of a report: takes the drawing that stands in the page, lets it be moved and enlarged, switches what lies on
 * it, and reads the values under the pointer, a finger, or the middle of the map. Works on what the page holds alone. */
(function () {
  'use strict';

  var svg = document.getElementById('map');
  if (!svg || !window.L || !window.Uint8Array) return;
  var told = svg.dataset;
  var width = Number(told.width), height = Number(told.height), rim = Number(told.rim);

  /* ---- values ---- */

  /* What the page tells of a place, in the order in which it is said. */
  var values = [];
  for (var n = 0; told['value' + n]; n++) {
    var parts = told['value' + n].split(' '), text = window.atob(parts[3]);
    var bytes = new Uint8Array(text.length);
    for (var i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
    values.push({
      kind: parts[0], least: Number(parts[1]), unit: Number(parts[2]), bytes: bytes,
      before: told['before' + n], after: told['after' + n], ground: told['of' + n]
    });
  }

  function number(from, cell) {
    if (cell < 0) return NaN;
    var code = from.bytes[2 * cell] + 256 * from.bytes[2 * cell + 1];
    return code === 65535 ? NaN : from.least + from.unit * code;
  }

  /* Metres east and south of the grid's corner, from pixels of the drawing. */
  function place(x, y) {
    var scale = Number(told.scale);
    return { east: x / scale - Number(told.west), south: y / scale - Number(told.north) };
  }

  function cellAt(at) {
    var column = Math.floor(at.east / Number(told.cell)), row = Math.floor(at.south / Number(told.cell));
    if (column < 0 || row < 0 || column >= Number(told.columns) || row >= Number(told.rows)) return -1;
    return row * Number(told.columns) + column;
  }

  function degrees(at) {
    if (!told.corners) return '';
    var c = told.corners.split(' ').map(Number);
    var e = at.east / Number(told.across), s = at.south / Number(told.down);
    function mixed(i) {
      return (1 - s) * ((1 - e) * c[i] + e * c[i + 2]) + s * ((1 - e) * c[i + 4] + e * c[i + 6]);
    }
    return mixed(0).toFixed(5) + ', ' + mixed(1).toFixed(5);
  }

  /* As the page prints them: of readings three digits. */
  var printed = {
    reading: function (value) { return String(Number(value.toPrecision(3))) + told.suffix; },
    count: function (value) { return value.toFixed(1); },
    name: function (value) { return told['name' + value]; },
    chance: function (value) {
      return value > 0.99 ? 'over 99\u00A0%' : value < 0.01 ? 'under 1\u00A0%' : Math.round(100 * value) + '\u00A0%';
    }
  };

  var ground = document.getElementById('ground');
  var shown = ground ? ground.dataset.layer : '';

  function words(x, y) {
    var at = place(x, y), cell = cellAt(at);
    if (isNaN(number(values[0], cell))) return told.outside;
    return values.map(function (from) {
      var value = number(from, cell);
      if (isNaN(value) || from.ground && from.ground !== shown) return '';
      return from.before + printed[from.kind](value) + from.after;
    }).join('') + '. ' + degrees(at);
  }

  /* ---- the map ---- */

  var frame = document.createElement('div');
  frame.id = 'viewer';
  frame.setAttribute('role', 'group');
  frame.setAttribute('aria-label', 'Map. Arrow keys move it, plus and minus change its size; what is in its middle is ' +
    'read below the switches. ' + svg.getAttribute('aria-label'));
  svg.parentNode.insertBefore(frame, svg);
  var away = document.createComment('map');
  frame.parentNode.insertBefore(away, frame.nextSibling);

  var bounds = [[-rim, -rim], [height + rim, width + rim]];
  var map = L.map(frame, {
    crs: L.CRS.Simple, attributionControl: false, zoomSnap: 0.25, zoomDelta: 0.5, minZoom: -3, maxZoom: 4,
    maxBounds: [[-height / 2, -width / 2], [1.5 * height, 1.5 * width]], keyboardPanDelta: 40,
    zoomControl: false, zoomAnimation: false, fadeAnimation: false, inertia: false, maxBoundsViscosity: 0
  });
  L.svgOverlay(svg, bounds, { interactive: true }).addTo(map);
  L.control.zoom({ zoomInTitle: 'Larger', zoomOutTitle: 'Smaller' }).addTo(map);
  map.fitBounds(bounds);

  var cross = document.createElement('div');
  cross.className = 'cross';
  cross.setAttribute('aria-hidden', 'true');
  frame.appendChild(cross);

  /* ---- reading ---- */

  var out = document.getElementById('read-out');
  var byKeys = false;

  var last = null;

  function read(where) {
    last = where;
    out.textContent = words(where.lng, height - where.lat);
  }

  function readMiddle() {
    if (byKeys) read(map.getCenter());
  }

  if (values.length > 0) {
    out.hidden = false;
    map.on('mousemove click', function (event) {
      byKeys = false;
      frame.classList.remove('keys');
      read(event.latlng);
    });
    map.on('moveend', readMiddle);
    frame.addEventListener('keydown', function () {
      byKeys = true;
      frame.classList.add('keys');
      readMiddle();
    });
    frame.addEventListener('blur', function () { frame.classList.remove('keys'); });
  }

  /* ---- switches ---- */

  var switches = document.getElementById('switches');
  var pictures = {};
  if (ground) pictures[ground.dataset.layer] = ground.getAttribute('href');
  Array.prototype.forEach.call(document.querySelectorAll('.others image[data-layer]'), function (image) {
    pictures[image.dataset.layer] = image.getAttribute('href');
  });
  var legend = document.querySelector('figure.map > .legend');
  var caption = document.querySelector('figure.map > figcaption');

  var own = legend ? legend.innerHTML : '';

  /* The bounds have the estimate's colors. */
  function show(key, label) {
    ground.setAttribute('href', pictures[key]);
    var wanted = document.querySelector('.legend[data-layer="' + key + '"]');
    legend.innerHTML = wanted && wanted !== legend ? wanted.innerHTML : own;
    caption.textContent = label;
    shown = key;
    if (last) read(last);
  }

  switches.hidden = false;
  switches.addEventListener('submit', function (event) { event.preventDefault(); });
  switches.addEventListener('change', function (event) {
    var input = event.target;
    if (input.type === 'radio') show(input.value, input.parentNode.textContent.trim());
    else svg.querySelector('.overlay.' + input.value).classList.toggle('off', !input.checked);
  });
  Array.prototype.forEach.call(switches.elements, function (input) {
    if (input.type === 'checkbox') svg.querySelector('.overlay.' + input.value).classList.toggle('off', !input.checked);
  });

  /* On paper the drawing stands by itself, as without a script. */
  var was = null;
  window.addEventListener('beforeprint', function () {
    if (was) return;
    was = { parent: svg.parentNode, style: svg.getAttribute('style'), classes: svg.getAttribute('class') };
    away.parentNode.insertBefore(svg, away);
    svg.removeAttribute('style');
    svg.removeAttribute('class');
  });
  window.addEventListener('afterprint', function () {
    if (!was) return;
    was.parent.appendChild(svg);
    svg.setAttribute('style', was.style);
    svg.setAttribute('class', was.classes);
    was = null;
  });
})();
