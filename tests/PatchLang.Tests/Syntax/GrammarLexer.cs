using Antlr4.Runtime;
using Antlr4.Runtime.Misc;
using FluentAssertions;
using PatchLang.Syntax;
using PatchLang.Tests.Syntax.Generated;

namespace PatchLang.Tests.Syntax;

/// <summary>A token as both the scanner and the grammar's lexer give it; positions in UTF-16 units.</summary>
internal readonly record struct FoundToken(TokenKind Kind, int Start, int End);

/// <summary>The lexer generated from <c>grammar/PatchLexer.g4</c>, which the scanner has to equal.</summary>
internal static class GrammarLexer
{
    /// <summary>All tokens of a text, comments and white space left out.</summary>
    public static List<FoundToken> Tokens(string text)
    {
        var characters = new CodePoints(text);
        var tokens = new List<FoundToken>();
        var lexer = new PatchLexer(characters, TextWriter.Null, TextWriter.Null);
        lexer.RemoveErrorListeners();
        for (var token = lexer.NextToken(); token.Type != TokenConstants.EOF; token = lexer.NextToken())
            if (token.Channel == TokenConstants.DefaultChannel)
                tokens.Add(new FoundToken((TokenKind)token.Type, characters.UnitOf(token.StartIndex), characters.UnitOf(token.StopIndex + 1)));
        return tokens;
    }

    /// <summary>The sets of characters that the lexer's rule for names is made of: the first, and those that may follow.</summary>
    public static (IntervalSet First, IntervalSet Following) NameSets()
    {
        var atn = new PatchLexer(new CodePoints(""), TextWriter.Null, TextWriter.Null).Atn;
        var rule = Array.IndexOf(PatchLexer.ruleNames, "NAME");
        var sets = atn.states.Where(s => s.ruleIndex == rule)
            .SelectMany(s => s.TransitionsArray)
            .Where(t => t.Label is not null)
            .Select(t => t.Label)
            .ToList();
        sets.Should().HaveCount(2);
        return sets[0].Count < sets[1].Count ? (sets[0], sets[1]) : (sets[1], sets[0]);
    }

    /// <summary>A text by code points, as the grammar counts it. An unpaired surrogate stands for itself.</summary>
    private sealed class CodePoints : ICharStream
    {
        private readonly List<int> points = [];
        private readonly List<int> units = [];

        public CodePoints(string text)
        {
            for (var i = 0; i < text.Length; i++)
            {
                units.Add(i);
                if (char.IsSurrogatePair(text, i)) points.Add(char.ConvertToUtf32(text[i], text[++i]));
                else points.Add(text[i]);
            }
            units.Add(text.Length);
        }

        public int Index { get; private set; }

        public int Size => points.Count;

        public string SourceName => "";

        public int UnitOf(int point) => units[point];

        public void Consume() => Index++;

        public int LA(int i) => i == 0 ? 0 : Index + (i > 0 ? i - 1 : i) is var at && at >= 0 && at < points.Count ? points[at] : IntStreamConstants.EOF;

        public int Mark() => 0;

        public void Release(int marker)
        {
        }

        public void Seek(int index) => Index = index;

        public string GetText(Interval interval) => "";
    }
}
