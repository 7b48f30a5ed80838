using System.Collections.Immutable;
using System.Text.Json.Serialization;

namespace PatchLang.Scripting.Protocol;

/// <summary>What <c>patchlang-scripts</c> is asked, as one line of JSON on its standard input.</summary>
/// <param name="Plan">The plan's own files, the root first; library files are in the program itself.</param>
/// <param name="Rules">The rules to run, in this order.</param>
internal sealed record ScriptRequest(ImmutableArray<PlanFileText> Plan, ImmutableArray<RuleText> Rules)
{
    /// <summary>Where the one script is no rule but writes files: what it is given. Null for rules.</summary>
    public ReportText? Report { get; init; }
}

/// <summary>What a script that writes files is given.</summary>
/// <param name="Arguments">What stands behind the plan on the command line.</param>
/// <param name="Folder">The folder that the user is in.</param>
internal sealed record ReportText(ImmutableArray<string> Arguments, string Folder);

/// <summary>A file of the plan.</summary>
internal sealed record PlanFileText(string Path, string Content);

/// <summary>A rule.</summary>
/// <param name="FullPath">Where the script is on the disk, for what it loads and for the lines of what it throws.</param>
/// <param name="Content">Its text.</param>
/// <param name="Assembly">A file with what was compiled of it; null where it has to be compiled.</param>
/// <param name="References">The assemblies that it names with <c>#r</c>, where they are on the disk.</param>
/// <param name="Loaded">The scripts that it loads.</param>
internal sealed record RuleText(string FullPath, string Content, string? Assembly, ImmutableArray<string> References, ImmutableArray<LoadedText> Loaded);

/// <summary>A script that a rule loads, as it was when the rule was read: that text was accepted, whatever the file says later.</summary>
internal sealed record LoadedText(string FullPath, string Content);

/// <summary>What <c>patchlang-scripts</c> answers: one line of JSON each.</summary>
/// <param name="Sort">What happened.</param>
/// <param name="Rule">To which rule of the request.</param>
internal sealed record ScriptReply(ReplySort Sort, int Rule = -1)
{
    /// <summary>Whether the process is shut in: no network, nothing that can be written. Of <see cref="ReplySort.Ready"/>.</summary>
    public bool IsShutIn { get; init; }

    /// <summary>What a rule was compiled to, for the next time. Of <see cref="ReplySort.Compiled"/>.</summary>
    public byte[]? Assembly { get; init; }

    /// <summary>What a rule found, in its order. Of <see cref="ReplySort.Finished"/>.</summary>
    public ImmutableArray<FoundText> Found { get; init; } = [];

    /// <summary>What is wrong with a rule. Of <see cref="ReplySort.Finished"/>.</summary>
    public ImmutableArray<FaultText> Faults { get; init; } = [];

    /// <summary>What a script that is no rule wants written. Of <see cref="ReplySort.Finished"/>.</summary>
    public ImmutableArray<FileText> Files { get; init; } = [];
}

/// <summary>What happened in <c>patchlang-scripts</c>.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<ReplySort>))]
internal enum ReplySort
{
    /// <summary>The process is there.</summary>
    Ready,

    /// <summary>A rule was compiled.</summary>
    Compiled,

    /// <summary>A rule starts; if nothing more comes, it was this one that did not end.</summary>
    Started,

    /// <summary>A rule has ended.</summary>
    Finished,
}

/// <summary>What a rule found, by offsets in the plan's texts.</summary>
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

/// <summary>What is wrong with a rule, at a place in a script: lines and columns from 0.</summary>
internal sealed record FaultText(bool IsOfText, string Message, string FullPath, int Line, int Column, int EndLine, int EndColumn);

/// <summary>A file to be written: its name below the folder that the user names, and its bytes.</summary>
internal sealed record FileText(string Name, byte[] Content);

/// <summary>How the messages are written: made ahead of time.</summary>
[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase, DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull)]
[JsonSerializable(typeof(ScriptRequest))]
[JsonSerializable(typeof(ScriptReply))]
internal sealed partial class ScriptJson : JsonSerializerContext;
