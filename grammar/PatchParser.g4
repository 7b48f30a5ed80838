// The sentences of PatchLang. See reference.md beside this file for what they mean.
//
// The grammar is LL(1): the parser generated from it makes no prediction call, and a test asserts that.
// Every statement opens with its reserved word, so a text splits into statements with one scan.
parser grammar PatchParser;

options { tokenVocab = PatchLexer; }

plan : statement* EOF;

statement
    : rig | rate | use | act
    | format | gear | card
    | unit | network | loom | cable
    | timekeeper | follow | reserve
    | feed | bundle | insert
    | expect | allow
    ;

// The plan as a whole
rig   : RIG STRING (EDITION NUMBER)?;
rate  : RATE quantity;
use   : USE STRING (AS name)?;
act   : ACT name STRING? (AFTER name)? settings?;
allow : ALLOW CODE STRING;

// Ways of carrying channels
format        : FORMAT name STRING? OPEN_BRACE formatSetting* CLOSE_BRACE;
formatSetting : joins | way | capacity | time | medium | formatLatency | attributeValue;
joins         : JOINS name;
way           : WAY name;
capacity      : CHANNELS NUMBER AT span;
time          : TIME name;
medium        : MEDIUM name (UP TO quantity (COMMA AT MOST quantity)?)?;
formatLatency : LATENCY quantity;

// Kinds of equipment
gear        : GEAR name parameters? STRING? gearBody;
card        : CARD name parameters? FOR name STRING? gearBody;
parameters  : OPEN_PAREN parameter (COMMA parameter)* CLOSE_PAREN;
parameter   : name (EQUAL NUMBER)?;
gearBody    : OPEN_BRACE gearSetting* CLOSE_BRACE;
gearSetting : socket | port | strip | bus | slot | route | clock | limit | delay | attributeValue;
socket      : (IN | OUT) counted (COMMA counted)* COLON reference (AT quantity)? STRING? attributes?;
port        : PORT counted COLON reference STRING? attributes?;
strip       : STRIP counted (COMMA counted)* STRING? attributes?;
bus         : BUS counted (COMMA counted)* STRING? attributes?;
slot        : SLOT name COLON name STRING?;
route       : ROUTE places ARROW places (FIXED | FREE | EITHER) (BY count)?;
clock       : CLOCK name OPEN_BRACE clockSetting* CLOSE_BRACE;
limit       : LIMIT count (IN | OUT) THROUGH name (COMMA name)*;
delay       : LATENCY place ARROW place span;
counted     : name (OPEN_BRACKET count CLOSE_BRACKET)?;
count       : NUMBER | name;
places      : place (COMMA place)*;
place       : ANY | name index?;
clockSetting : sources | attributeValue;
sources      : FROM path (COMMA path)*;
attributes   : OPEN_BRACE attribute* CLOSE_BRACE;
attribute    : (IN | OUT) count | BY count | TWIN name | LINK quantity | tap | attributeValue;
attributeValue : NAME value?;

// Equipment in this rig, and how it is joined
unit           : UNIT name index? COLON reference arguments? labels? (AT quantity)? settings? during?;
network        : NETWORK name COLON reference STRING? OPEN_BRACE networkSetting* CLOSE_BRACE during?;
networkSetting : twin | join | networkLatency | networkLink | group | attributeValue;
twin           : TWIN reference;
join           : JOIN path (COMMA path)*;
networkLatency : LATENCY quantity (AT path (COMMA path)*)?;
networkLink    : LINK quantity;
group          : GROUP path STRING;
loom           : LOOM name STRING? COLON NUMBER WAYS quantity?;
cable          : CABLE path ARROW path (COLON (reference index?)? quantity? STRING?)? during?;
timekeeper     : TIMEKEEPER path (OPEN_BRACE STANDBY path (COMMA path)* CLOSE_BRACE)? during?;
follow         : FOLLOW path FROM path during?;
reserve        : RESERVE path STRING during?;

// Signals and their ways
feed   : FEED name index? labels? COLON origin hops? settings? during?;
hops   : (ARROW path)+;
bundle : BUNDLE name STRING? COLON pick (COMMA pick)* during?;
insert : INSERT path STRING? COLON path hops? during?;
origin : sum | either | pick tap?;
sum    : SUM OPEN_PAREN member (COMMA member)* CLOSE_PAREN;
member : (either | pick except? tap?) fold? quantity?;
either : EITHER OPEN_PAREN choice (COMMA choice)* CLOSE_PAREN;
choice : pick tap?;
pick   : path (AT path)?;
except : EXCEPT pick;
fold   : TO index;
tap    : (BEFORE | AFTER) name;

// Promises
expect        : EXPECT pick (expectLatency | expectHeadroom | expectHears | expectSpare) during?;
expectLatency  : LATENCY (FROM path)? compare quantity;
expectHeadroom : HEADROOM compare quantity;
expectHears    : NEVER? HEARS path (COMMA path)*;
expectSpare    : SPARE (IN | OUT) compare NUMBER;
compare        : LESS_EQUAL | GREATER_EQUAL | LESS | GREATER;

// Pieces that many statements share
during    : DURING (ANY EXCEPT)? reference (COMMA reference)*;
reference : name (DOT name)?;
labels    : STRING (COMMA STRING)*;
path      : step (DOT step)*;
step      : name index?;
index     : OPEN_BRACKET item (COMMA item)* CLOSE_BRACKET;
item      : NUMBER (DOTS (NUMBER | name))? | name;
settings  : OPEN_BRACE setting* CLOSE_BRACE;
setting   : settingName value?;
value     : EQUAL (reference arguments? | STRING | range);
arguments : OPEN_PAREN NUMBER (COMMA NUMBER)* CLOSE_PAREN;
range     : (PLUS | MINUS)? NUMBER (DOTS (PLUS | MINUS)? NUMBER)? measure?;
span      : NUMBER (DOTS NUMBER)? measure;
quantity  : (PLUS | MINUS)? NUMBER measure;
measure   : SYMBOL | RATIO;

name        : NAME | SYMBOL | CODE | word;
settingName : NAME | word;
word
    : AFTER | AS | AT | BEFORE | BUS | BY | CHANNELS | CLOCK | EDITION | EXCEPT | FIXED | FOR | FREE | FROM
    | GROUP | HEADROOM | HEARS | IN | JOIN | JOINS | LATENCY | LIMIT | LINK | MEDIUM | MOST | NEVER | OUT | PORT
    | ROUTE | SLOT | SPARE | STANDBY | STRIP | THROUGH | TIME | TO | TWIN | UP | WAY | WAYS
    ;
