using PatchLang.Scripting.Model;
using PatchLang.Scripting.Protocol;
using PatchLang.Scripting.Reports;
using PatchLang.Text;

namespace PatchLang.Scripts;

/// <summary>Answers a request: compiles the plan, then the rules that are not in the cache, then runs the rules one by one.</summary>
internal static class RuleSession
{
    /// <summary>Answers a request.</summary>
    public static void Run(ScriptRequest request, Answers answers)
    {
        var running = -1;
        AppDomain.CurrentDomain.UnhandledException += (_, e) =>
        {
            // An exception on a thread that the script started ends the process, so it is reported first.
            if (running >= 0 && e.ExceptionObject is Exception thrown)
                answers.Write(new ScriptReply(ReplySort.Finished, running) { Faults = [Faults.OfThrown(thrown, request.Rules[running])] });
        };
        var compiling = Task.Run(() => Compile(request.Plan));
        var programs = new byte[]?[request.Rules.Length];
        for (var i = 0; i < request.Rules.Length; i++) programs[i] = Load(request.Rules[i], i, request.Report is not null, answers);
        var rig = Rig.Of(compiling.GetAwaiter().GetResult());
        for (var i = 0; i < programs.Length; i++)
        {
            if (programs[i] is not { } program) continue;
            running = i;
            answers.Write(new ScriptReply(ReplySort.Started, i));
            answers.Write(request.Report is { } report
                ? RuleRun.OfReport(program, request.Rules[i], new ReportScript(rig, report.Arguments, report.Folder))
                : RuleRun.Of(program, request.Rules[i], i, rig));
            running = -1;
        }
    }

    /// <summary>The compiled rule; reports a rule whose text is wrong, and returns null.</summary>
    private static byte[]? Load(RuleText rule, int index, bool isReport, Answers answers)
    {
        if (rule.Assembly is { } kept && File.Exists(kept)) return File.ReadAllBytes(kept);
        var (program, faults) = RuleCompiler.Compile(rule, isReport);
        answers.Write(program is null ? new ScriptReply(ReplySort.Finished, index) { Faults = faults } : new ScriptReply(ReplySort.Compiled, index) { Assembly = program });
        return program;
    }

    private static Compilation Compile(IReadOnlyList<PlanFileText> files)
    {
        var texts = files.ToDictionary(f => f.Path, f => new SourceText(f.Path, f.Content), StringComparer.Ordinal);
        return Compilation.Create(texts[files[0].Path], path => texts.TryGetValue(path, out var text) ? FileReading.Of(text) : FileReading.Failed(FileProblem.NotFound));
    }
}
