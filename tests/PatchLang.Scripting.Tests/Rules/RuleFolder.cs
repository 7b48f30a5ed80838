using FluentAssertions;
using PatchLang.Scripting.Hosting;
using PatchLang.Text;

namespace PatchLang.Scripting.Tests.Rules;

/// <summary>A folder with a plan and rules, and the rules run over it as hosts run them: in a process of their own.</summary>
internal sealed class RuleFolder : IDisposable
{
    /// <summary>A duo: small, and nothing is found in it.</summary>
    public const string Duo = """
        format line { joins point_to_point  way one  time none }
        gear Player   { out play[4] : line }
        gear Recorder { in track[4] : line { recorder } }
        unit player   : Player
        unit recorder : Recorder
        cable player.play -> recorder.track : 5 m
        feed song "Song" : player.play[1] -> recorder.track[1]
        feed talk "Talk" : player.play[2] -> recorder.track[2]
        """;

    private readonly List<RuleFile> rules = [];

    public string Folder { get; } = Directory.CreateTempSubdirectory("patchlang-rules-").FullName;

    public string Plan { get; set; } = Duo;

    public ScriptLimits Limits { get; set; } = ScriptLimits.Usual;

    public RuleOutcome? Outcome { get; private set; }

    /// <summary>Puts a rule there, in the place of one of that name.</summary>
    public RuleFolder With(string name, string script)
    {
        var path = Path.Combine(Folder, name);
        File.WriteAllText(path, script);
        rules.RemoveAll(r => r.FullPath == path);
        rules.Add(RuleFile.Read(path).Rule!);
        return this;
    }

    /// <summary>Runs the rules, and gives what is found with them: line, code and message.</summary>
    public List<string> Run()
    {
        var compilation = Compilation.Create(new SourceText("plan.rig", Plan), _ => FileReading.Failed(FileProblem.NotFound));
        var (program, problem) = ScriptProgram.Find();
        problem.Should().BeNull();
        Outcome = new RuleRunner(program!, Limits).Run(compilation, Folder, rules);
        Outcome.Problem.Should().BeNull();
        return [.. compilation.FindingsWith(Outcome.Findings).Select(f => $"{f.Place.Source.Path}:{f.Place.Source.PositionOf(f.Place.Span.Start).Line + 1} {f.Code}: {f.Message}")];
    }

    public void Dispose() => Directory.Delete(Folder, recursive: true);
}
