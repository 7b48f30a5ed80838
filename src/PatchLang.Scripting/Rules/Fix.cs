using System.Collections.Immutable;
using PatchLang.Scripting.Model;

namespace PatchLang.Scripting.Rules;

/// <summary>
/// A fix for a rule's finding: changes of the plan's text, at places given by the object model. A fix after which the plan has more
/// errors than before is not offered, and the rule's author is told.
/// </summary>
public sealed class Fix
{
    private Fix(string title, bool isSafe, ImmutableArray<(Place Place, string Text)> edits) => (Title, IsSafe, Edits) = (title, isSafe, edits);

    /// <summary>What it does, in the imperative: "move it to desk.ch[9]".</summary>
    public string Title { get; }

    /// <summary>Whether it can be applied without asking: it only states what was meant, and nothing else changes.</summary>
    public bool IsSafe { get; }

    internal ImmutableArray<(Place Place, string Text)> Edits { get; }

    /// <summary>Replaces the text at a place.</summary>
    /// <param name="title">What it does, in the imperative.</param>
    /// <param name="place">The place to replace.</param>
    /// <param name="text">The new text.</param>
    public static Fix Replace(string title, Place place, string text) => new(title, false, [(place, text)]);

    /// <summary>Deletes the text at a place.</summary>
    public static Fix Delete(string title, Place place) => new(title, false, [(place, "")]);

    /// <summary>Inserts a text before a place.</summary>
    public static Fix InsertBefore(string title, Place place, string text) => new(title, false, [(place.Before, text)]);

    /// <summary>Inserts a text after a place.</summary>
    public static Fix InsertAfter(string title, Place place, string text) => new(title, false, [(place.Behind, text)]);

    /// <summary>Combines the changes of two fixes, which must not overlap.</summary>
    public Fix And(Fix other) => new(Title, IsSafe, Edits.AddRange(other.Edits));

    /// <summary>Marks the fix as safe to apply without asking, by <c>check --fix</c>.</summary>
    public Fix Safe() => new(Title, true, Edits);
}
