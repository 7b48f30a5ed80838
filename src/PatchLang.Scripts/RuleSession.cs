using PatchLang.Scripting.Model;
using PatchLang.Scripting.Protocol;
using PatchLang.Scripting.Reports;
using PatchLang.Text;

namespace PatchLang.Scripts;

/// <summary>Answers a request: compiles the plan, then the rules that were not compiled before, then runs one rule after the other.</summary>
internal static class RuleSession
{
    /// <summary>Answers it.</summary>
    public static void Run(ScriptRequest request, Answers answers)
    {
        var running = -1;
        AppDomain.CurrentDomain.UnhandledException += (_, e) =>
        {
            // Thrown on a thread of the script's own, which ends the process: what it was is said before.
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

    /// <summary>A rule, compiled; null where its text is at fault, which is said.</summary>
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
