using System.Collections.Immutable;
using System.Reflection;
using System.Runtime.Loader;
using PatchLang.Scripting.Model;
using PatchLang.Scripting.Protocol;
using PatchLang.Scripting.Reports;
using PatchLang.Scripting.Rules;

namespace PatchLang.Scripts;

/// <summary>Runs one compiled rule.</summary>
internal static class RuleRun
{
    /// <summary>The most findings kept per rule: nobody reads more.</summary>
    private const int MostFound = 10_000;

    /// <summary>Runs the rule, and returns its findings or its fault.</summary>
    public static ScriptReply Of(byte[] program, RuleText rule, int index, Rig rig)
    {
        var script = new RuleScript(rig);
        var faults = ImmutableArray.CreateBuilder<FaultText>();
        try
        {
            Start(program, rule, script);
        }
        catch (Exception e)
        {
            faults.Add(Faults.OfThrown(e, rule));
        }
        var found = ImmutableArray.CreateBuilder<FoundText>();
        foreach (var each in script.Found.Take(MostFound)) found.Add(FoundTexts.Of(each, rule, faults));
        if (script.Found.Count > MostFound) faults.Add(Faults.At(rule, script.Found[MostFound].Line, $"it found {script.Found.Count} things; the first {MostFound} are told"));
        return new ScriptReply(ReplySort.Finished, index) { Found = found.DrainToImmutable(), Faults = faults.DrainToImmutable() };
    }

    /// <summary>Runs a script that writes files. If it fails, none of its files is returned.</summary>
    public static ScriptReply OfReport(byte[] program, RuleText rule, ReportScript script)
    {
        try
        {
            Start(program, rule, script);
            return new ScriptReply(ReplySort.Finished, 0) { Files = [.. script.Output.Files.Select(f => new FileText(f.Name, f.Content.ToArray()))] };
        }
        catch (Exception e)
        {
            return new ScriptReply(ReplySort.Finished, 0) { Faults = [Faults.OfThrown(e, rule)] };
        }
    }

    private static void Start(byte[] program, RuleText rule, object script)
    {
        var (code, lines) = CompiledRule.Unpack(program);
        var context = new AssemblyLoadContext(rule.FullPath);
        context.Resolving += (into, name) => rule.References.FirstOrDefault(r => Path.GetFileNameWithoutExtension(r) == name.Name && File.Exists(r)) is { } file ? into.LoadFromAssemblyPath(file) : null;
        var assembly = context.LoadFromStream(code, lines);
        // C# scripts compile to a class with a factory method that takes the globals and returns a task.
        var factory = assembly.GetTypes().Select(t => t.GetMethod("<Factory>", BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic)).OfType<MethodInfo>().First();
        var start = factory.CreateDelegate<Func<object?[], Task<object>>>();
        start([script, null]).GetAwaiter().GetResult();
    }
}
