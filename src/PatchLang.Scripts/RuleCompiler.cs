using System.Collections.Immutable;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Scripting;
using Microsoft.CodeAnalysis.Emit;
using Microsoft.CodeAnalysis.Scripting;
using PatchLang.Scripting.Model;
using PatchLang.Scripting.Protocol;
using PatchLang.Scripting.Reports;
using PatchLang.Scripting.Rules;

namespace PatchLang.Scripts;

/// <summary>Compiles rules with the C# compiler; the only place where the compiler is loaded.</summary>
internal static class RuleCompiler
{
    private const int MostFaults = 20;

    /// <summary>The .NET assemblies that every script can use; others need <c>#r "System.Xml"</c> and the like.</summary>
    private static readonly string[] Platform =
    [
        "System.Private.CoreLib", "System.Runtime", "System.Collections", "System.Collections.Immutable", "System.Console", "System.Linq", "System.Memory",
        "System.Text.RegularExpressions", "System.Threading", "System.Threading.Tasks", "System.Runtime.InteropServices", "System.Runtime.Extensions", "netstandard",
    ];

    /// <summary>References that every script has, read once for all scripts.</summary>
    private static readonly ImmutableArray<MetadataReference> Known =
    [
        .. Platform.Select(n => MetadataReference.CreateFromFile(Path.Combine(Path.GetDirectoryName(typeof(object).Assembly.Location)!, n + ".dll"))),
        MetadataReference.CreateFromFile(typeof(Rig).Assembly.Location),
        MetadataReference.CreateFromFile(typeof(PatchLang.Compilation).Assembly.Location),
    ];

    private static readonly string[] Imports =
    [
        "System", "System.Collections.Generic", "System.Globalization", "System.Linq", "System.Text", "System.Text.RegularExpressions",
        "PatchLang.Scripting.Model", "PatchLang.Scripting.Rules",
    ];

    /// <summary>The imports of scripts that write files.</summary>
    private static readonly string[] ReportImports = [.. Imports.Where(i => i != "PatchLang.Scripting.Rules"), "System.IO", "PatchLang.Scripting.Reports", "PatchLang.Writing"];

    /// <summary>Compiles a rule, or reports what is wrong with its text.</summary>
    /// <param name="rule">The script.</param>
    /// <param name="isReport">Whether the script writes files instead of being a rule.</param>
    public static (byte[]? Program, ImmutableArray<FaultText> Faults) Compile(RuleText rule, bool isReport = false)
    {
        var options = ScriptOptions.Default
            .WithFilePath(rule.FullPath).WithFileEncoding(System.Text.Encoding.UTF8)
            .WithLanguageVersion(LanguageVersion.Latest).WithOptimizationLevel(OptimizationLevel.Release).WithEmitDebugInformation(true)
            .WithReferences(Known)
            .WithImports(isReport ? ReportImports : Imports)
            .WithMetadataResolver(new NamedAssemblies(rule))
            .WithSourceResolver(new LoadedScripts(rule));
        var compilation = CSharpScript.Create<object>(rule.Content, options, isReport ? typeof(ReportScript) : typeof(RuleScript)).GetCompilation();
        using var assembly = new MemoryStream();
        using var lines = new MemoryStream();
        var result = compilation.Emit(assembly, lines, options: new EmitOptions(debugInformationFormat: DebugInformationFormat.PortablePdb));
        if (result.Success) return (CompiledRule.Pack(assembly.ToArray(), lines.ToArray()), []);
        return (null, [.. result.Diagnostics.Where(d => d.Severity == DiagnosticSeverity.Error).Take(MostFaults).Select(d => FaultOf(d, rule))]);
    }

    private static FaultText FaultOf(Diagnostic diagnostic, RuleText rule)
    {
        var span = diagnostic.Location.GetLineSpan();
        var message = $"{diagnostic.GetMessage(System.Globalization.CultureInfo.InvariantCulture)} ({diagnostic.Id})";
        return span.IsValid
            ? new FaultText(true, message, string.IsNullOrEmpty(span.Path) ? rule.FullPath : span.Path, span.StartLinePosition.Line, span.StartLinePosition.Character, span.EndLinePosition.Line, span.EndLinePosition.Character)
            : new FaultText(true, message, rule.FullPath, 0, 0, 0, 0);
    }
}

/// <summary>A compiled rule in its cached form: the assembly, followed by its debug symbols, which give the line of each instruction.</summary>
internal static class CompiledRule
{
    public static byte[] Pack(byte[] code, byte[] lines) => [.. BitConverter.GetBytes(code.Length), .. code, .. lines];

    public static (MemoryStream Code, MemoryStream Lines) Unpack(byte[] packed)
    {
        var length = BitConverter.ToInt32(packed);
        return (new MemoryStream(packed, 4, length), new MemoryStream(packed, 4 + length, packed.Length - 4 - length));
    }
}
