using System.Collections.Immutable;
using System.Text.Json.Serialization;

namespace PatchLang.Scripting.Protocol;

/// <summary>The request to <c>patchlang-scripts</c>, as one line of JSON on its standard input.</summary>
/// <param name="Plan">The plan's own files, the root first; the program has the library files itself.</param>
/// <param name="Rules">The rules to run, in order.</param>
internal sealed record ScriptRequest(ImmutableArray<PlanFileText> Plan, ImmutableArray<RuleText> Rules)
{
    /// <summary>If the single script is not a rule but writes files: its input. Null for rules.</summary>
    public ReportText? Report { get; init; }
}

/// <summary>The input of a script that writes files.</summary>
/// <param name="Arguments">The arguments after the plan on the command line.</param>
/// <param name="Folder">The user's current folder.</param>
internal sealed record ReportText(ImmutableArray<string> Arguments, string Folder);

/// <summary>A file of the plan.</summary>
internal sealed record PlanFileText(string Path, string Content);

/// <summary>A rule.</summary>
/// <param name="FullPath">The path of the script, from which it loads others, and which its stack traces name.</param>
/// <param name="Content">Its text.</param>
/// <param name="Assembly">The file of the compiled rule; null if it has to be compiled.</param>
/// <param name="References">The paths of the assemblies that it references with <c>#r</c>.</param>
/// <param name="Loaded">The scripts that it loads.</param>
internal sealed record RuleText(string FullPath, string Content, string? Assembly, ImmutableArray<string> References, ImmutableArray<LoadedText> Loaded);

/// <summary>A script that a rule loads, as it was when the rule was read: that text was accepted, whatever the file says later.</summary>
internal sealed record LoadedText(string FullPath, string Content);

/// <summary>A reply of <c>patchlang-scripts</c>, as one line of JSON.</summary>
/// <param name="Sort">The sort of reply.</param>
/// <param name="Rule">The index of the rule in the request.</param>
internal sealed record ScriptReply(ReplySort Sort, int Rule = -1)
{
    /// <summary>Whether the process is sandboxed: no network, nothing it could write to. For <see cref="ReplySort.Ready"/>.</summary>
    public bool IsShutIn { get; init; }

    /// <summary>The compiled rule, for the cache. For <see cref="ReplySort.Compiled"/>.</summary>
    public byte[]? Assembly { get; init; }

    /// <summary>The findings of a rule, in its order. For <see cref="ReplySort.Finished"/>.</summary>
    public ImmutableArray<FoundText> Found { get; init; } = [];

    /// <summary>Errors in a rule. For <see cref="ReplySort.Finished"/>.</summary>
    public ImmutableArray<FaultText> Faults { get; init; } = [];

    /// <summary>The files that a script wants to write. For <see cref="ReplySort.Finished"/>.</summary>
    public ImmutableArray<FileText> Files { get; init; } = [];
}

/// <summary>The sorts of replies.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<ReplySort>))]
internal enum ReplySort
{
    /// <summary>The process has started.</summary>
    Ready,

    /// <summary>A rule was compiled.</summary>
    Compiled,

    /// <summary>A rule starts. If no further reply comes, it is the one that did not end.</summary>
    Started,

    /// <summary>A rule has finished.</summary>
    Finished,
}

/// <summary>A finding of a rule, with offsets in the plan's texts.</summary>
internal sealed record FoundText(PlaceText Place, string Message, Findings.Severity Severity)
{
    public ImmutableArray<PlaceText> Related { get; init; } = [];

    public FixText? Fix { get; init; }
}

/// <summary>A place in a file of the plan.</summary>
internal sealed record PlaceText(string Path, int Start, int Length, string? Remark = null);

/// <summary>A fix.</summary>
internal sealed record FixText(string Title, bool IsSafe, ImmutableArray<EditText> Edits);

/// <summary>A change of a file of the plan.</summary>
internal sealed record EditText(PlaceText Place, string Text);

/// <summary>An error in a rule, with a place in a script: lines and columns from 0.</summary>
internal sealed record FaultText(bool IsOfText, string Message, string FullPath, int Line, int Column, int EndLine, int EndColumn);

/// <summary>A file to write: its name relative to the output folder, and its content.</summary>
internal sealed record FileText(string Name, byte[] Content);

/// <summary>The serialization code of the messages, generated at build time.</summary>
[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase, DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull)]
[JsonSerializable(typeof(ScriptRequest))]
[JsonSerializable(typeof(ScriptReply))]
internal sealed partial class ScriptJson : JsonSerializerContext;
