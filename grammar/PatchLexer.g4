// The words of PatchLang. See reference.md beside this file for what they mean.
//
// The compiler reads text with a hand-written scanner (src/PatchLang/Syntax/Scanner.cs); this lexer
// defines what that scanner must do, and the tests hold the two equal on any text.
// Two rules are the scanner's alone: an open block comment (OPEN_BLOCK) ends at the next line that opens
// with a reserved word, and a byte order mark at the very start of a file is white space.
lexer grammar PatchLexer;

// Reserved: each opens a statement and occurs nowhere else, at any depth.
RIG        : 'rig';
RATE       : 'rate';
USE        : 'use';
ACT        : 'act';
FORMAT     : 'format';
GEAR       : 'gear';
CARD       : 'card';
UNIT       : 'unit';
NETWORK    : 'network';
LOOM       : 'loom';
CABLE      : 'cable';
TIMEKEEPER : 'timekeeper';
FOLLOW     : 'follow';
RESERVE    : 'reserve';
FEED       : 'feed';
BUNDLE     : 'bundle';
INSERT     : 'insert';
EXPECT     : 'expect';
ALLOW      : 'allow';

// Never names, because they open something where a name could stand.
SUM    : 'sum';
EITHER : 'either';
ANY    : 'any';
DURING : 'during';

// Words with a meaning in their place; names elsewhere.
AFTER    : 'after';
AS       : 'as';
AT       : 'at';
BEFORE   : 'before';
BUS      : 'bus';
BY       : 'by';
CHANNELS : 'channels';
CLOCK    : 'clock';
EDITION  : 'edition';
EXCEPT   : 'except';
FIXED    : 'fixed';
FOR      : 'for';
FREE     : 'free';
FROM     : 'from';
GROUP    : 'group';
HEADROOM : 'headroom';
HEARS    : 'hears';
IN       : 'in';
JOIN     : 'join';
JOINS    : 'joins';
LATENCY  : 'latency';
LIMIT    : 'limit';
LINK     : 'link';
MEDIUM   : 'medium';
MOST     : 'most';
NEVER    : 'never';
OUT      : 'out';
PORT     : 'port';
ROUTE    : 'route';
SLOT     : 'slot';
SPARE    : 'spare';
STANDBY  : 'standby';
STRIP    : 'strip';
THROUGH  : 'through';
TIME     : 'time';
TO       : 'to';
TWIN     : 'twin';
UP       : 'up';
WAY      : 'way';
WAYS     : 'ways';

// Unit symbols. Those that look like names are names where no quantity can stand.
SYMBOL : 'Hz' | 'kHz' | 'MHz' | 's' | 'ms' | 'us' | '\u00B5s' | '\u03BCs' | 'ns'
       | 'dB' | 'dBu' | 'dBV' | 'dBFS' | 'V' | 'mV' | 'A' | 'mA' | 'W' | 'mW'
       | 'ppm' | 'm' | 'km' | 'ft' | 'ohm';
RATIO  : 'Mbit/s' | 'Gbit/s' | '%';

ARROW         : '->';
DOTS          : '..';
LESS_EQUAL    : '<=';
GREATER_EQUAL : '>=';
LESS          : '<';
GREATER       : '>';
OPEN_BRACKET  : '[';
CLOSE_BRACKET : ']';
OPEN_BRACE    : '{';
CLOSE_BRACE   : '}';
OPEN_PAREN    : '(';
CLOSE_PAREN   : ')';
COLON         : ':';
COMMA         : ',';
DOT           : '.';
EQUAL         : '=';
PLUS          : '+';
MINUS         : '-';

CODE   : 'PL' [0-9] [0-9] [0-9] [0-9];
NUMBER : [0-9]+ ('.' [0-9]+)?;
NAME   : [\p{L}\p{Nl}_] [\p{L}\p{M}\p{Nl}\p{Nd}_]*;
STRING : '"' (~["\r\n\\] | '\\' ~[\r\n])* '"';

// Never told to the parser: the gaps between tokens.
DOCUMENTATION : '///' (~[/\r\n] ~[\r\n]*)? -> channel(HIDDEN);
LINE_COMMENT  : '//' ~[\r\n]* -> channel(HIDDEN);
BLOCK_COMMENT : '/*' .*? '*/' -> channel(HIDDEN);
WHITE_SPACE   : [ \t\r\n]+ -> channel(HIDDEN);

// Every character has a token: the parser is told of these, and each becomes one finding.
OPEN_STRING : '"' (~["\r\n\\] | '\\' ~[\r\n])* '\\'?;
OPEN_BLOCK  : '/*' (~'*' | '*'+ ~[*/])* '*'*;
STRAY       : .;
