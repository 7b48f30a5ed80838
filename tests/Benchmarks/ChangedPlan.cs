using System.Text.RegularExpressions;
using PatchLang.Outputs.Comparison;
using static System.FormattableString;

namespace PatchLang.Benchmarks;

/// <summary>The regatta's ten thousand feeds, and the same with something changed: what is compared.</summary>
internal static class ChangedPlan
{
    /// <summary>The plan as it was.</summary>
    public static Compilation Old() => GeneratedPlan.Compile(LargePlan.Write());

    /// <summary>One microphone is plugged elsewhere.</summary>
    public static Compilation WithOneMove() => GeneratedPlan.Compile(LargePlan.Write().Replace("s050_rack.mic[7]", "s050_rack.mic[8]", StringComparison.Ordinal));

    /// <summary>Every microphone is plugged elsewhere, every written gain is another, and every network takes longer.</summary>
    public static Compilation WithAllChanged() => GeneratedPlan.Compile(
        Regex.Replace(LargePlan.Write(), @"_rack\.mic\[(?<socket>\d+)\]", m => Invariant($"_rack.mic[{49 - int.Parse(m.Groups["socket"].ValueSpan)}]"), RegexOptions.ExplicitCapture, TimeSpan.FromSeconds(10))
            .Replace("-6 dB", "-9 dB", StringComparison.Ordinal).Replace("latency 1 ms", "latency 2 ms", StringComparison.Ordinal));

    /// <summary>What is compared, to the last line of the report; the number of lines.</summary>
    public static int Lines(Compilation old, Compilation @new) => ChangeReport.Of(PlanChanges.Between(old, @new)).Sections.Sum(s => s.Lines.Length);
}
