using BenchmarkDotNet.Attributes;

namespace PatchLang.Benchmarks;

/// <summary>One keystroke in a compiled plan, from the change of the text to the findings.</summary>
[MemoryDiagnoser]
public class EditBenchmarks
{
    private EditedPlan label = null!;
    private EditedPlan hop = null!;

    /// <summary>How many feeds the plan has.</summary>
    [Params(1_000, 10_000)]
    public int Feeds { get; set; }

    [GlobalSetup]
    public void Compile()
    {
        var text = GeneratedPlan.Text(Feeds);
        label = EditedPlan.AtLabel(text, Feeds / 2);
        hop = EditedPlan.AtHop(text, Feeds / 2);
    }

    [Benchmark]
    public int InALabel() => label.Type();

    [Benchmark]
    public int InAHop() => hop.Type();
}
