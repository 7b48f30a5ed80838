using BenchmarkDotNet.Attributes;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Benchmarks;

/// <summary>Reading a text: by shape, and as ANTLR's own lexer and parser do it.</summary>
[MemoryDiagnoser]
public class ParseBenchmarks
{
    private string text = "";

    /// <summary>How many feeds the plan has.</summary>
    [Params(1_000, 10_000)]
    public int Feeds { get; set; }

    [GlobalSetup]
    public void Generate() => text = GeneratedPlan.Text(Feeds);

    [Benchmark(Baseline = true)]
    public int Plain() => PlainParser.Statements(text);

    [Benchmark]
    public int ByShape() => SyntaxTree.Parse(new SourceText("plan.rig", text)).Count;

    /// <summary>As in a process that has read nothing yet: every shape is new.</summary>
    [Benchmark]
    public int ByShapeFromNothing() => SyntaxTree.Parse(new SourceText("plan.rig", text), new ShapeCache()).Count;
}
