using System.CommandLine;

namespace PatchLang.Cli;

/// <summary>A command with a help text that teaches it.</summary>
/// <param name="name">What the user types.</param>
/// <param name="summary">One line: what the command does.</param>
/// <param name="lesson">A paragraph or two: its purpose, and the meaning of its exit codes.</param>
/// <param name="examples">Lines to type, each with what it does.</param>
internal sealed class TaughtCommand(string name, string summary, string lesson, params (string Line, string Meaning)[] examples) : Command(name, summary)
{
    /// <summary>A paragraph or two: its purpose, and the meaning of its exit codes.</summary>
    public string Lesson { get; } = lesson;

    /// <summary>Lines to type, each with what it does.</summary>
    public IReadOnlyList<(string Line, string Meaning)> Examples { get; } = examples;
}
