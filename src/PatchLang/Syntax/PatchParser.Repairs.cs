using Antlr4.Runtime.Atn;
using DFA = Antlr4.Runtime.Dfa.DFA;

namespace PatchLang.Syntax.Generated;

/// <summary>
/// The part of the generated parser that only broken text needs. The grammar is LL(1), so correct statements are parsed without
/// ANTLR's transition network (ATN), and setting that up takes longer than parsing most plans.
/// </summary>
internal partial class PatchParser
{
    /// <summary>Enables the parser to report what it expected, and to recover after an error.</summary>
    public void AllowRepairs() =>
        Interpreter ??= new ParserATNSimulator(this, Network.States, Network.Decisions, sharedContextCache);

    private static class Network
    {
        public static readonly ATN States = new ATNDeserializer().Deserialize(_serializedATN);

        public static readonly DFA[] Decisions =
            [.. Enumerable.Range(0, States.NumberOfDecisions).Select(i => new DFA(States.GetDecisionState(i), i))];
    }
}
