// The colours of plans: what is a word of the language, and what only looks like one.
// `write.mjs` beside this file makes rig.tmLanguage.json of it; tests hold the words equal to those of grammar/PatchLexer.g4.
//
// A statement reaches to the next reserved opening word, as for the compiler: such a word occurs nowhere else. So each statement is
// a region of its own, and knows which of the words that are names elsewhere mean something in it.

const letter = String.raw`[\p{L}\p{M}\p{Nl}\p{Nd}_]`;
const name = String.raw`(?<!${letter})[\p{L}\p{Nl}_]${letter}*`;

/** One of some words, whole. */
const word = words => String.raw`(?<!${letter})(?:${words.join('|')})(?!${letter})`;

/** The words that open statements, with the scope of the name that is declared behind them; null where none is. */
export const openers = {
  rig: null,
  rate: null,
  use: null,
  act: 'variable.other.event',
  format: 'entity.name.type',
  gear: 'entity.name.type.class',
  card: 'entity.name.type.class',
  unit: 'variable.other.readwrite',
  network: 'entity.name.namespace',
  loom: 'entity.name.type.struct',
  cable: 'variable.other.readwrite',
  timekeeper: 'variable.other.readwrite',
  follow: 'variable.other.readwrite',
  reserve: 'variable.other.readwrite',
  feed: 'entity.name.function',
  bundle: 'entity.name.function',
  insert: 'variable.other.readwrite',
  expect: 'variable.other.readwrite',
  allow: null,
};

/** The words that are never names. */
export const inner = ['sum', 'either', 'any', 'during'];

/** The words that mean something in a statement, and are names elsewhere. */
export const meant = {
  rig: ['edition'],
  rate: [],
  use: ['as'],
  act: ['after'],
  format: ['joins', 'way', 'channels', 'time', 'medium', 'latency', 'at', 'up', 'to', 'most'],
  gear: [
    'in', 'out', 'port', 'strip', 'bus', 'slot', 'route', 'clock', 'limit', 'latency',
    'at', 'by', 'fixed', 'free', 'from', 'twin', 'link', 'before', 'after', 'through',
  ],
  unit: ['at', 'except'],
  network: ['twin', 'join', 'latency', 'link', 'group', 'at', 'except'],
  loom: ['ways'],
  cable: ['except'],
  timekeeper: ['standby', 'except'],
  follow: ['from', 'except'],
  reserve: ['except'],
  feed: ['at', 'before', 'after', 'except'],
  bundle: ['at', 'except'],
  insert: ['except'],
  expect: ['latency', 'headroom', 'hears', 'never', 'spare', 'in', 'out', 'from', 'at', 'except'],
  allow: [],
};
meant.card = [...meant.gear, 'for'];

export const symbols = [
  'Hz', 'kHz', 'MHz', 's', 'ms', 'us', '\u00B5s', '\u03BCs', 'ns', 'dB', 'dBu', 'dBV', 'dBFS', 'V', 'mV', 'A', 'mA', 'W', 'mW',
  'ppm', 'm', 'km', 'ft', 'ohm',
];

const opener = word(Object.keys(openers));
const reserved = word([...Object.keys(openers), ...inner]);
const unit = String.raw`(?:(?:${symbols.join('|')})(?!${letter})|[MG]bit/s(?!${letter})|%)`;

// What stands behind such a word tells that it is a name here: a piece of a path, or of a declaration.
const notAName = String.raw`(?!\s*(?:\.(?!\.)|\[|=|,|:|->|\)))`;

const captures = (...scopes) => Object.fromEntries(scopes.map((scope, i) => [i + 1, { name: `${scope}.rig` }]));

/** What a statement has in it; inside of braces a bare name is a setting. */
const content = (statement, ...rest) => [
  { include: '#everywhere' },
  ...(statement === 'format'
    ? [
        { match: String.raw`(?<!${letter})(joins|way|time)\s+(${name})`, captures: captures('keyword.control', 'keyword.control') },
        { match: String.raw`(,)\s*(at)\s+(most)(?!${letter})`, captures: captures('punctuation.separator.comma', 'keyword.control', 'keyword.control') },
      ]
    : []),
  ...(['gear', 'card', 'feed', 'bundle'].includes(statement)
    ? [{ match: String.raw`(?<!${letter})(before|after)\s+(?!${reserved})(${name})`, captures: captures('keyword.control', 'keyword.control') }]
    : []),
  ...(statement === 'feed' ? [{ name: 'keyword.control.rig', match: String.raw`(?<!${letter})to(?=\s+\[)` }] : []),
  { include: '#named' },
  {
    match: String.raw`(:)\s*(?!${reserved})(${name})`,
    captures: captures(
      'punctuation.separator.colon',
      statement === 'unit' ? 'entity.name.type.class' : ['gear', 'card', 'network'].includes(statement) ? 'entity.name.type' : 'variable.other.readwrite'
    ),
  },
  { include: '#settings' },
  ...(meant[statement].length > 0 ? [{ name: 'keyword.control.rig', match: word(meant[statement]) + notAName }] : []),
  ...rest,
  { include: '#signs' },
];

const end = `(?=${opener})`;

const region = (statement, declared) => ({
  begin: String.raw`(?<!${letter})(${statement})(?!${letter})` + (declared ? String.raw`(?:\s+(?!${reserved})(${name}))?` : ''),
  beginCaptures: declared ? captures('keyword.control', declared) : captures('keyword.control'),
  end,
  patterns: [{ include: `#block-${statement}` }, ...content(statement, { include: '#names' })],
});

// Statements in whose braces a bare name is a thing, and no setting.
const namesInBraces = ['timekeeper', 'network', 'gear', 'card', 'format'];

/** What is in braces, and braces within. */
const block = statement => ({
  begin: String.raw`\{`,
  beginCaptures: { 0: { name: 'punctuation.section.block.begin.rig' } },
  end: String.raw`\}|${end}`,
  endCaptures: { 0: { name: 'punctuation.section.block.end.rig' } },
  patterns: [{ include: `#block-${statement}` }, ...content(statement, { include: namesInBraces.includes(statement) ? '#names' : '#flags' })],
});

export const grammar = {
  name: 'PatchLang plan',
  scopeName: 'source.rig',
  fileTypes: ['rig'],
  patterns: [
    { include: '#gaps' },
    ...Object.entries(openers).map(([statement, declared]) => region(statement, declared)),
    { include: '#text' },
    { include: '#code' },
    { include: '#amount' },
    { include: '#names' },
    { include: '#signs' },
  ],
  repository: {
    gaps: {
      patterns: [
        { name: 'comment.line.documentation.rig', match: '///(?!/).*$' },
        { name: 'comment.line.double-slash.rig', match: '//.*$' },
        { name: 'comment.block.rig', begin: String.raw`/\*`, end: String.raw`\*/` },
      ],
    },
    text: {
      patterns: [
        {
          name: 'string.quoted.double.rig',
          begin: '"',
          beginCaptures: { 0: { name: 'punctuation.definition.string.begin.rig' } },
          end: '(")|$',
          endCaptures: { 1: { name: 'punctuation.definition.string.end.rig' } },
          patterns: [{ name: 'constant.character.escape.rig', match: String.raw`\\.` }],
        },
      ],
    },
    code: { patterns: [{ name: 'constant.other.finding.rig', match: word(['PL[0-9]{4}']) }] },
    amount: {
      patterns: [
        {
          match: String.raw`(?<!${letter})([0-9]+(?:\.[0-9]+)?)(?:\s*(${unit}))?`,
          captures: captures('constant.numeric', 'keyword.other.unit'),
        },
      ],
    },
    // A name behind one of these signs is a name, whatever it is called.
    named: {
      patterns: [
        { match: String.raw`(->)\s*(?!${reserved})(${name})`, captures: captures('keyword.operator.arrow', 'variable.other.readwrite') },
        { match: String.raw`(\.\.)\s*(?!${reserved})(${name})`, captures: captures('keyword.operator.range', 'variable.other.readwrite') },
        { match: String.raw`(\.)(?!\.)\s*(?!${reserved})(${name})`, captures: captures('punctuation.accessor', 'variable.other.property') },
        { match: String.raw`(,)\s*(?!${reserved})(${name})`, captures: captures('punctuation.separator.comma', 'variable.other.readwrite') },
        { match: String.raw`(=)\s*(?!${reserved})(${name})`, captures: captures('keyword.operator.assignment', 'variable.other.readwrite') },
      ],
    },
    everywhere: {
      patterns: [{ include: '#gaps' }, { include: '#text' }, { include: '#code' }, { include: '#amount' }, { name: 'keyword.control.rig', match: word(inner) }],
    },
    settings: { patterns: [{ name: 'variable.other.property.rig', match: String.raw`(?!${reserved})${name}(?=\s*=)` }] },
    flags: { patterns: [{ name: 'variable.other.property.rig', match: `(?!${reserved})${name}` }] },
    names: { patterns: [{ name: 'variable.other.readwrite.rig', match: `(?!${reserved})${name}` }] },
    signs: {
      patterns: [
        { name: 'keyword.operator.arrow.rig', match: '->' },
        { name: 'keyword.operator.range.rig', match: String.raw`\.\.` },
        { name: 'keyword.operator.comparison.rig', match: '<=|>=|<|>' },
        { name: 'keyword.operator.assignment.rig', match: '=' },
        { name: 'keyword.operator.arithmetic.rig', match: '[+-]' },
        { name: 'punctuation.separator.comma.rig', match: ',' },
        { name: 'punctuation.separator.colon.rig', match: ':' },
        { name: 'punctuation.accessor.rig', match: String.raw`\.` },
        { name: 'punctuation.section.brackets.begin.rig', match: String.raw`\[` },
        { name: 'punctuation.section.brackets.end.rig', match: String.raw`\]` },
        { name: 'punctuation.section.parens.begin.rig', match: String.raw`\(` },
        { name: 'punctuation.section.parens.end.rig', match: String.raw`\)` },
      ],
    },
    ...Object.fromEntries(Object.keys(openers).map(statement => [`block-${statement}`, block(statement)])),
  },
};

/** The file that editors read. */
export const text = `${JSON.stringify(grammar, null, 2)}\n`;
