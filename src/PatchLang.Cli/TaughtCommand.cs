using System.CommandLine;

namespace PatchLang.Cli;

/// <summary>A command whose help teaches it.</summary>
/// <param name="name">What the user types.</param>
/// <param name="summary">One line: what the command does.</param>
/// <param name="lesson">A paragraph or two: for what, and what its exit code says.</param>
/// <param name="examples">Lines to type, each with what it does.</param>
internal sealed class TaughtCommand(string name, string summary, string lesson, params (string Line, string Meaning)[] examples) : Command(name, summary)
{
    /// <summary>A paragraph or two: for what, and what its exit code says.</summary>
    public string Lesson { get; } = lesson;

    /// <summary>Lines to type, each with what it does.</summary>
    public IReadOnlyList<(string Line, string Meaning)> Examples { get; } = examples;
}
