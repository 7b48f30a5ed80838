using System.Collections.Immutable;
using CsCheck;
using PatchLang.Text;

namespace PatchLang.Conformance.Properties;

/// <summary>Plans to try properties on: the conformance plans and the samples, and what a careless hand makes of it.</summary>
internal static class PlanGen
{
    /// <summary>What an edit may put in: pieces that open, close, join and break things.</summary>
    private static readonly string[] Pieces =
    [
        "", " ", "\n", "1", "2", "7", "0", "[1]", "[1..2]", "[L, R]", "->", ":", ",", ".", "{", "}", "(", ")", "\"", "\"x\"", "//", "/*", "*/", "5 m", "48 kHz",
        "desk", "line", "feed", "unit", "gear", "feed x : desk.line[1] -> desk.ch[1]\n", "unit desk : Desk\n", "during tide", "{ phantom }", "fixed", "free", "->desk.ch[1]",
        "allow PL0310 \"so\"\n", "act tide\n", "rate 96 kHz\n", "reserve desk.line[1] \"no\"\n", "except", "at", "é", "\uD83C", "𝄞",
    ];

    /// <summary>A property of a longer plan would take too long to try a thousand times.</summary>
    private const int MostLength = 8_000;

    /// <summary>All plans but the very long ones, and the samples.</summary>
    public static readonly ImmutableArray<Plan> All =
    [
        .. Plan.AllNames.Select(Plan.Of).Where(p => p.Root.Length <= MostLength),
        .. ((string[])["ten-minutes", "studio-without-desk", "lantern-quay", "wrong"]).Select(Plan.OfSample),
    ];

    public static readonly Gen<Plan> Any = Gen.OneOf(All.ToArray());

    /// <summary>One edit, as shares of a text's length.</summary>
    public static readonly Gen<Edit> AnyEdit =
        from position in Gen.Double.Unit
        from length in Gen.Frequency((3, Gen.Int[0, 3]), (1, Gen.Int[0, 40]))
        from piece in Gen.OneOf(Pieces)
        select new Edit(position, length, piece);

    /// <summary>Puts a piece in place of a few characters, somewhere.</summary>
    public sealed record Edit(double Position, int Length, string Piece)
    {
        public SourceText ApplyTo(SourceText text)
        {
            var start = (int)(Position * text.Length);
            return text.With(new TextChange(new TextSpan(start, Math.Min(Length, text.Length - start)), Piece));
        }

        public override string ToString() => $"{Length} at {Position:0.###} become \"{Piece}\"";
    }
}
