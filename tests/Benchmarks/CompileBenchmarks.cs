using BenchmarkDotNet.Attributes;

namespace PatchLang.Benchmarks;

/// <summary>A plan from its text to its findings.</summary>
[MemoryDiagnoser]
public class CompileBenchmarks
{
    private string text = "";

    /// <summary>How many feeds the plan has.</summary>
    [Params(1_000, 10_000, 100_000)]
    public int Feeds { get; set; }

    [GlobalSetup]
    public void Generate() => text = GeneratedPlan.Text(Feeds);

    [Benchmark]
    public int Compile() => GeneratedPlan.Compile(text).Findings.Length;
}
