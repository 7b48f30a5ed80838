using System.Collections.Immutable;
using PatchLang.Scripting.Model;

namespace PatchLang.Scripting.Rules;

/// <summary>
/// A mend of what a rule found: changes of the plan's text, at places that the objects give. A fix after which the text has more
/// mistakes than before is not offered; the rule is told so.
/// </summary>
public sealed class Fix
{
    private Fix(string title, bool isSafe, ImmutableArray<(Place Place, string Text)> edits) => (Title, IsSafe, Edits) = (title, isSafe, edits);

    /// <summary>What it does, as an order: "move it to desk.ch[9]".</summary>
    public string Title { get; }

    /// <summary>Whether it can be applied unasked: it states what was meant, and nothing else changes.</summary>
    public bool IsSafe { get; }

    internal ImmutableArray<(Place Place, string Text)> Edits { get; }

    /// <summary>Writes a text in place of what stands somewhere.</summary>
    /// <param name="title">What it does, as an order.</param>
    /// <param name="place">What is replaced.</param>
    /// <param name="text">What is written instead.</param>
    public static Fix Replace(string title, Place place, string text) => new(title, false, [(place, text)]);

    /// <summary>Takes out what stands somewhere.</summary>
    public static Fix Delete(string title, Place place) => new(title, false, [(place, "")]);

    /// <summary>Writes a text ahead of what stands somewhere.</summary>
    public static Fix InsertBefore(string title, Place place, string text) => new(title, false, [(place.Before, text)]);

    /// <summary>Writes a text behind what stands somewhere.</summary>
    public static Fix InsertAfter(string title, Place place, string text) => new(title, false, [(place.Behind, text)]);

    /// <summary>Makes the changes of another with its own. They may not overlap.</summary>
    public Fix And(Fix other) => new(Title, IsSafe, Edits.AddRange(other.Edits));

    /// <summary>Says that it can be applied unasked, by <c>check --fix</c>.</summary>
    public Fix Safe() => new(Title, true, Edits);
}
