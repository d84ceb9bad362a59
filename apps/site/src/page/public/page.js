// The terminal's page: shows what the box tells, and tells the box what a person does. It decides nothing.

import { openWedge } from './wedge.js';

const token = document.querySelector('meta[name="page-token"]').content;
const $ = (id) => document.getElementById(id);
let view;
let terminal = sessionStorage.getItem('terminal') ?? '';

async function act(deed) {
  try {
    const answer = await fetch('/api/act', {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-page-token': token },
      body: JSON.stringify(deed),
    });
    // The box was started anew since: a fresh page has a token that it knows.
    if (answer.status === 403) location.reload();
  } catch {
    $('lost').hidden = false;
  }
}

/** Keeps what is there, so that focus and touch are not lost: rows are made once and filled again. */
function list(parent, rows, keyOf, make, fill) {
  const old = new Map([...parent.children].map((node) => [node.dataset.key, node]));
  rows.forEach((row, index) => {
    const key = keyOf(row);
    let node = old.get(key);
    old.delete(key);
    if (!node) {
      node = make(row);
      node.dataset.key = key;
    }
    fill(node, row);
    if (parent.children[index] !== node) parent.insertBefore(node, parent.children[index] ?? null);
  });
  for (const node of old.values()) node.remove();
}

function button(words, onPress, className = '') {
  const node = document.createElement('button');
  node.type = 'button';
  node.textContent = words;
  node.className = className;
  node.addEventListener('click', onPress);
  return node;
}

function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

const KEYS = ['1', '2', '3', 'cancel', '4', '5', '6', 'clear', '7', '8', '9', 'enter', '0'];
for (const key of KEYS)
  $('keypad').append(button(key, () => act({ do: 'key', terminal, key }), key.length > 1 ? 'word' : ''));

// The machine's own keyboard is a keypad too, but where somebody writes into a field; and a reader may type like one.
const NAMES = { Enter: 'enter', Escape: 'cancel', Backspace: 'clear', Delete: 'clear' };
const wedge = openWedge({
  later: (ms, call) => {
    const timer = setTimeout(call, ms);
    return () => clearTimeout(timer);
  },
  card: (text) => act({ do: 'swipe', terminal, text }),
  keys(list) {
    for (const { key, context: field } of list) {
      const name = NAMES[key] ?? key;
      if (!field) {
        if (KEYS.includes(name)) act({ do: 'key', terminal, key: name });
      } else if (key === 'Enter') {
        if (field.form) field.form.requestSubmit();
        else field.click();
      } else if (field.value.length < field.maxLength || field.maxLength < 0) {
        field.setRangeText(key, field.selectionStart, field.selectionEnd, 'end');
      }
    }
  },
});
addEventListener(
  'keydown',
  (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
    const field = event.target.closest('input');
    const onButton = event.target.closest('button, select, summary, a');
    if (event.key.length === 1 || event.key === 'Enter') {
      // A space or Enter by hand on a button is that button's; a burst that began elsewhere still ends here.
      if (onButton && event.key === ' ') return;
      event.preventDefault();
      wedge.press(event.key, field ?? (onButton && event.key === 'Enter' ? onButton : undefined), event.timeStamp);
      return;
    }
    const name = NAMES[event.key];
    if (name === undefined || onButton) return;
    // Within a field, keys that mend what is typed are the field's; the one that gives up is the terminal's.
    if (field && name !== 'cancel') return;
    if (field) {
      field.value = '';
      field.blur();
    }
    event.preventDefault();
    act({ do: 'key', terminal, key: name });
  },
  true,
);

$('wedge').addEventListener('submit', (event) => {
  event.preventDefault();
  const number = $('wedge-number').value.trim();
  $('wedge-number').value = '';
  if (number !== '') act({ do: 'card', terminal, number });
});
$('answer').addEventListener('submit', (event) => {
  event.preventDefault();
  act({ do: 'answer', terminal, text: $('answer-text').value });
  $('answer-text').value = '';
});
$('print').addEventListener('click', () => act({ do: 'receipt', terminal }));

$('again-day').addEventListener('change', () => show());
$('lesson-hose').addEventListener('change', () => show());

/** Days with fills from here, newest first, and the fills of the chosen one. */
function receiptsPart(here) {
  const all = here?.receipts ?? [];
  const days = [...new Set(all.map((r) => r.day))];
  list(
    $('again-day'),
    days,
    (day) => day,
    (day) => new Option(day, day),
    () => {},
  );
  $('again-part').hidden = days.length === 0;
  $('no-paper').hidden = all.length > 0 || (here?.paper.length ?? 0) > 0;
  list(
    $('again'),
    all.filter((r) => r.day === $('again-day').value),
    (r) => r.fill,
    (r) => {
      const row = document.createElement('li');
      const words = `${r.time}, hose ${r.hose}, ${r.quantity}`;
      const print = button(words, () => act({ do: 'receipt', terminal, fill: r.fill }));
      print.setAttribute('aria-label', `Print again: ${r.day} ${words}`);
      row.append(print);
      return row;
    },
    () => {},
  );
}

function ask(what) {
  const by = prompt(`${what} Look first: only somebody who has seen that it is safe may do this. Your name:`);
  return by === null ? '' : by.trim();
}

function hoseNode(hose) {
  const node = document.createElement('li');
  node.className = 'hose';
  const lamp = document.createElement('span');
  lamp.className = 'lamp';
  const words = document.createElement('div');
  words.className = 'words';
  const acts = document.createElement('div');
  acts.className = 'acts';
  node.append(lamp, words, acts);
  const { id } = hose;
  const deeds = {
    choose: button('Choose', () => act({ do: 'choose', terminal, hose: id })),
    lift: button('Lift', () => act({ do: 'lift', hose: id })),
    squeeze: button('Squeeze', () => act({ do: 'squeeze', hose: id, share: 1 })),
    release: button('Let go', () => act({ do: 'squeeze', hose: id, share: 0 })),
    hang: button('Hang up', () => act({ do: 'hang', hose: id })),
    cleared: button('Set back after looking', () => {
      const now = view.hoses.find((h) => h.id === id);
      const by = ask(`Hose ${now.number}: ${now.words}.`);
      if (by !== '') for (const block of now.liftable) act({ do: 'cleared', hose: id, block, by });
    }),
  };
  for (const [name, deed] of Object.entries(deeds)) {
    deed.dataset.deed = name;
    deed.setAttribute('aria-label', `${deed.textContent}, hose ${hose.number}`);
    acts.append(deed);
  }
  return node;
}

function fillHose(node, hose) {
  const [lamp, words, acts] = node.children;
  lamp.className = `lamp ${hose.lamp}`;
  setText(lamp, String(hose.number));
  const drawn = hose.quantity === null ? '' : `${hose.quantity} of ${hose.limit}`;
  if (words.dataset.shown !== `${hose.product}|${hose.words}|${drawn}`) {
    words.dataset.shown = `${hose.product}|${hose.words}|${drawn}`;
    const quantity = document.createElement('span');
    quantity.className = 'quantity';
    quantity.textContent = drawn;
    const state = document.createElement('small');
    state.textContent = hose.words;
    words.replaceChildren(hose.product, state, quantity);
  }
  const here = view.terminals.find((t) => t.id === terminal);
  const shown = {
    choose: here?.hoses.includes(hose.id) ?? false,
    lift: view.simulated && !hose.nozzleOut,
    squeeze: view.simulated && hose.nozzleOut,
    release: view.simulated && hose.nozzleOut,
    hang: view.simulated && hose.nozzleOut,
    cleared: hose.liftable.length > 0,
  };
  for (const deed of acts.children) deed.hidden = !shown[deed.dataset.deed];
}

/** Takes a hose out of service or puts it back: for people of the site, apart from what drivers touch. */
function serviceRow(hose) {
  const row = document.createElement('li');
  const { id, number } = hose;
  row.append(
    button('', () => {
      const back = view.hoses.find((h) => h.id === id)?.outBy === 'hand';
      const by = ask(
        back
          ? `Hose ${number} was taken out of service here.`
          : `Hose ${number}: what flows ends, and nobody gets it until it is put back.`,
      );
      if (by !== '') act({ do: 'service', hose: id, out: !back, by });
    }),
  );
  return row;
}

function fillService(row, hose) {
  const back = hose.outBy === 'hand';
  setText(row.firstChild, `${back ? 'Put back into service' : 'Take out of service'}, hose ${hose.number}`);
  row.firstChild.disabled = hose.outBy === 'release';
}

/** What a learner may let go wrong. What is set is told by the words of the button, and by its look. */
function lessonRow(lesson) {
  const row = document.createElement('li');
  const title = document.createElement('strong');
  title.textContent = lesson.title;
  const tries = document.createElement('p');
  tries.textContent = lesson.tries;
  const { card, fault, perHose } = lesson;
  const press = () => {
    if (card !== null) return act({ do: 'card', terminal, number: card });
    const hose = perHose ? { hose: $('lesson-hose').value } : {};
    return act({ do: 'practise', fault, on: row.firstElementChild.dataset.on !== 'yes', ...hose });
  };
  row.append(title, tries, button('', press));
  return row;
}

function fillLesson(row, lesson) {
  const at = lesson.perHose ? $('lesson-hose').value : '';
  const on = lesson.set.includes(at);
  row.firstElementChild.dataset.on = on ? 'yes' : 'no';
  const what = lesson.card === null ? (on ? 'Mend it' : 'Set it') : 'Present it';
  const set = row.lastElementChild;
  setText(set, what);
  set.setAttribute('aria-label', `${what}: ${lesson.title}`);
  set.setAttribute('aria-pressed', String(on));
}

function lessonsPart() {
  $('lessons').hidden = view.lessons.length === 0;
  setText($('hint'), view.hint ?? '');
  list(
    $('lesson-hose'),
    view.hoses,
    (h) => h.id,
    (h) => new Option(`${h.number}, ${h.product}`, h.id),
    () => {},
  );
  list($('lesson-list'), view.lessons, (l) => l.id, lessonRow, fillLesson);
}

function facts() {
  const parts = [view.running === null ? 'no release yet' : `release ${view.running}`];
  if (view.waiting !== null) parts.push(`release ${view.waiting} waits for a quiet yard`);
  if (view.practice) return parts.join(' · ');
  if (view.link !== 'none') parts.push(view.link === 'up' ? 'office reached' : 'office not reached');
  if (view.unsent > 0 && view.link !== 'none') parts.push(`${view.unsent} entries to send`);
  return parts.join(' · ');
}

function stopPart() {
  const rows = [];
  if (view.simulated)
    rows.push(
      view.eStop.pressed
        ? ['out', 'Pull the emergency stop out again', () => act({ do: 'eStop', on: false })]
        : ['press', 'Press the simulated emergency stop', () => act({ do: 'eStop', on: true })],
    );
  if (view.eStop.holds && !view.eStop.pressed)
    rows.push([
      'reset',
      'Reset after the emergency stop',
      () => {
        const by = ask('The emergency stop was pressed.');
        if (by !== '') act({ do: 'cleared', block: 'eStop', by });
      },
    ]);
  list(
    $('stop'),
    rows,
    ([key]) => key,
    ([, words, press]) => button(words, press),
    (node) => node.classList.toggle('pressed', view.eStop.holds),
  );
}

function show() {
  if (!view.terminals.some((t) => t.id === terminal)) terminal = view.terminals[0]?.id ?? '';
  const here = view.terminals.find((t) => t.id === terminal);
  setText($('name'), view.name);
  document.title = here ? `${here.name}, ${view.name}` : view.name;
  $('practice').hidden = !view.practice;
  setText($('facts'), facts());
  list(
    $('terminals'),
    view.terminals.length > 1 ? view.terminals : [],
    (t) => t.id,
    (t) =>
      button(t.name, () => {
        terminal = t.id;
        sessionStorage.setItem('terminal', terminal);
        show();
      }),
    (node, t) => node.setAttribute('aria-pressed', String(t.id === terminal)),
  );
  list(
    $('troubles'),
    view.troubles,
    (text) => text,
    () => document.createElement('p'),
    (node, text) => setText(node, text),
  );
  $('display').style.setProperty('--columns', here?.columns ?? 20);
  $('paper').style.setProperty('--columns', here?.paperColumns ?? 40);
  setText($('display'), here ? here.lines.join('\n') : 'No release yet');
  setText($('sentence'), here ? here.sentence || here.lines.join(' ').trim() : '');
  const asked = here?.screen === 'question';
  // A person at a keyboard goes on typing where the answer belongs.
  const begins = asked && $('answer').hidden && document.activeElement === document.body;
  $('answer').hidden = !asked;
  if (begins && matchMedia('(hover: hover)').matches) $('answer-text').focus({ preventScroll: true });
  setText($('paper'), here ? here.paper.join('\n') : '');
  $('paper').hidden = $('paper').textContent === '';
  receiptsPart(here);
  $('print').disabled = !here || here.paperColumns === null;
  document.documentElement.lang = here?.language ?? 'en';
  list(
    $('languages'),
    here?.languages ?? [],
    (l) => l.id,
    (l) => button(l.name, () => act({ do: 'language', terminal, language: l.id })),
    (node, l) => {
      node.lang = l.id;
      node.setAttribute('aria-pressed', String(here?.language === l.id));
    },
  );
  $('unreviewed').hidden = here?.languages.find((l) => l.id === here?.language)?.reviewed ?? true;
  list(
    $('cards'),
    view.cards,
    (c) => c.number,
    (c) => button('', () => act({ do: 'card', terminal, number: c.number })),
    (node, c) => {
      if (node.dataset.words === c.words) return;
      node.dataset.words = c.words;
      const who = document.createElement('small');
      who.textContent = c.words;
      node.replaceChildren(c.number, who);
    },
  );
  list($('hoses'), view.hoses, (h) => h.id, hoseNode, fillHose);
  list($('service'), view.hoses, (h) => h.id, serviceRow, fillService);
  lessonsPart();
  stopPart();
}

const events = new EventSource('/api/events');
events.addEventListener('message', (event) => {
  view = JSON.parse(event.data);
  $('lost').hidden = true;
  show();
});
events.addEventListener('error', () => {
  $('lost').hidden = false;
});
