using Antlr4.Runtime;
using PatchLang.Syntax.Generated;
using PatchLang.Tests.Syntax.Generated;

namespace PatchLang.Benchmarks;

/// <summary>The whole text through the lexer and parser that ANTLR makes of the grammar: what reading by shape is measured against.</summary>
internal static class PlainParser
{
    /// <summary>Reads a text and returns how many statements it found.</summary>
    public static int Statements(string text)
    {
        var tokens = new CommonTokenStream(new PatchLexer(CharStreams.fromString(text)));
        var parser = new PatchParser(tokens);
        parser.AllowRepairs();
        return parser.plan().statement().Length;
    }
}
