using Antlr4.Runtime.Atn;
using DFA = Antlr4.Runtime.Dfa.DFA;

namespace PatchLang.Syntax.Generated;

/// <summary>
/// The part of the generated parser that only broken text needs. The grammar is LL(1), so what is right is read without
/// asking the grammar's network anything, and to set that up takes longer than to read most plans.
/// </summary>
internal partial class PatchParser
{
    /// <summary>Makes the parser able to say what it expected, and to go on behind a mistake.</summary>
    public void AllowRepairs() =>
        Interpreter ??= new ParserATNSimulator(this, Network.States, Network.Decisions, sharedContextCache);

    private static class Network
    {
        public static readonly ATN States = new ATNDeserializer().Deserialize(_serializedATN);

        public static readonly DFA[] Decisions =
            [.. Enumerable.Range(0, States.NumberOfDecisions).Select(i => new DFA(States.GetDecisionState(i), i))];
    }
}
