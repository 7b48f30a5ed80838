#!/bin/sh
# Writes the code that ANTLR makes from the two grammars beside this script:
#   PatchParser.cs for the compiler, and PatchLexer.cs for the tests, which hold the scanner against it.
# With --check it writes nothing and fails where what is checked in differs.
# Needs Java and npm; ANTLR itself comes from the npm package named below.
set -eu

grammar=$(cd "$(dirname "$0")" && pwd)
root=$(dirname "$grammar")
parser="$root/src/PatchLang/Syntax/Generated/PatchParser.cs"
lexer="$root/tests/PatchLang.Tests/Syntax/Generated/PatchLexer.cs"

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"

npm install --no-save --no-audit --no-fund --silent --prefix "$work" antlr4ng-cli@2.0.0
antlr=$(ls "$work"/node_modules/antlr4ng-cli/antlr4-*-complete.jar)

# Run from a copy, so that no path of this machine gets into the headers.
cp "$grammar/PatchLexer.g4" "$grammar/PatchParser.g4" .
java -jar "$antlr" -Dlanguage=CSharp -no-visitor -no-listener -package PatchLang.Tests.Syntax.Generated PatchLexer.g4
java -jar "$antlr" -Dlanguage=CSharp -no-visitor -no-listener -package PatchLang.Syntax.Generated PatchParser.g4
# Nobody outside of the compiler sees the parser, so it need not say either how it fits other languages.
# And it sets up the grammar's network only when something is broken: valid plans never need it (PatchParser.Repairs.cs).
sed -i -e '/^\tstatic PatchParser() {$/,/^\t}$/d' -e '/^\tprotected static DFA\[\] decisionToDFA;$/d' \
  -e '/Interpreter = new ParserATNSimulator(/d' -e '/^\tpublic static readonly ATN _ATN =$/,+1d' PatchParser.cs
for made in PatchLexer.cs PatchParser.cs; do
  sed -e 's/^public partial class/internal partial class/' -e '/^\[System.CLSCompliant(false)\]$/d' "$made" > "$made.internal"
done

if [ "${1:-}" = "--check" ]; then
  cmp PatchParser.cs.internal "$parser"
  cmp PatchLexer.cs.internal "$lexer"
  echo "The generated parser and lexer are what the grammar says."
else
  mkdir -p "$(dirname "$parser")" "$(dirname "$lexer")"
  cp PatchParser.cs.internal "$parser"
  cp PatchLexer.cs.internal "$lexer"
fi
