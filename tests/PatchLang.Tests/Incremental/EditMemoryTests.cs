using System.Globalization;
using FluentAssertions;
using PatchLang.Benchmarks;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Incremental;

/// <summary>What is kept does not grow with the number of edits: each text lets go of the one before. Nothing else runs meanwhile, since memory is everybody's.</summary>
[Collection(nameof(EditCostTests))]
public sealed class EditMemoryTests
{
    private const int Edits = 10_000;
    private const int WarmUp = 1_000;

    // If each left its text behind, it would be hundreds of megabytes.
    private const long MostGrowth = 512 << 10;

    [Fact]
    public void Ten_thousand_edits_leave_nothing_behind()
    {
        var random = new Random(5);
        var text = GeneratedPlan.Text(200);
        var compilation = GeneratedPlan.Compile(text);
        var findings = 0;

        Edit(WarmUp);
        var before = GC.GetTotalMemory(forceFullCollection: true);
        Edit(Edits);
        var growth = GC.GetTotalMemory(forceFullCollection: true) - before;

        growth.Should().BeLessThan(MostGrowth);
        GC.KeepAlive((compilation, findings));

        // Labels change and names break, a feed comes and goes: what somebody does who types.
        void Edit(int count)
        {
            for (var i = 0; i < count; i++)
            {
                var source = compilation.Trees[0].Source;
                var at = source.Content.IndexOf("\nfeed ", random.Next(source.Length / 2) + source.Length / 3, StringComparison.Ordinal) + 1;
                var quote = source.Content.IndexOf('"', at) + 1;
                var change = (i % 4) switch
                {
                    0 => new TextChange(new TextSpan(quote, 0), random.Next(1_000).ToString(CultureInfo.InvariantCulture)),
                    1 => new TextChange(TextSpan.FromTo(quote, source.Content.IndexOf('"', quote)), string.Create(CultureInfo.InvariantCulture, $"Line {i}")),
                    2 => new TextChange(new TextSpan(at, 0), "feed spare : nowhere.at[1] -> all\n"),
                    _ => new TextChange(new TextSpan(source.Content.IndexOf("feed spare", StringComparison.Ordinal), "feed spare : nowhere.at[1] -> all\n".Length), ""),
                };
                compilation = compilation.With(source.With(change));
                findings += compilation.Findings.Length;
            }
        }
    }
}
