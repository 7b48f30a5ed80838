using PatchLang.Text;
using static System.FormattableString;

namespace PatchLang.Benchmarks;

/// <summary>A compiled plan that someone types into. Every second keystroke takes back the one before it, so that a run can go on for ever.</summary>
internal sealed class EditedPlan
{
    private readonly TextChange typed;
    private readonly TextChange takenBack;
    private bool isTyped;

    private EditedPlan(string text, TextSpan span, string replacement)
    {
        typed = new TextChange(span, replacement);
        takenBack = new TextChange(new TextSpan(span.Start, replacement.Length), text.Substring(span.Start, span.Length));
        Compilation = Compilation.Create(new SourceText("plan.rig", text), GeneratedPlan.NoFiles);
    }

    /// <summary>The plan as it stands.</summary>
    public Compilation Compilation { get; private set; }

    /// <summary>One more character in the label of a feed: nothing else in the plan depends on it.</summary>
    public static EditedPlan AtLabel(string text, int feed)
    {
        var label = Invariant($"\"Line {feed}\"");
        return new EditedPlan(text, new TextSpan(text.IndexOf(label, StringComparison.Ordinal) + label.Length - 1, 0), "x");
    }

    /// <summary>A feed goes to another input: the graph changes with it.</summary>
    public static EditedPlan AtHop(string text, int feed)
    {
        var statement = text.IndexOf(Invariant($"\"Line {feed}\""), StringComparison.Ordinal);
        var digit = text.IndexOf(".in", statement, StringComparison.Ordinal) + ".in".Length;
        return new EditedPlan(text, new TextSpan(digit, 1), text[digit] == '4' ? "1" : ((char)(text[digit] + 1)).ToString());
    }

    /// <summary>One keystroke, up to the findings.</summary>
    public int Type()
    {
        var change = isTyped ? takenBack : typed;
        isTyped = !isTyped;
        Compilation = Compilation.With(Compilation.Trees[0].Source.With(change));
        return Compilation.Findings.Length;
    }
}
