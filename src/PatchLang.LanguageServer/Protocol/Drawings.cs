namespace PatchLang.LanguageServer.Protocol;

// Messages of our own, beside the protocol: the drawing of the plan that a document belongs to, for a view beside the editor.

/// <summary>Asks for a drawing (<c>patchlang/drawing</c>), for what of it is lit (<c>patchlang/wayAt</c>), or for it as a file (<c>patchlang/drawingFile</c>).</summary>
/// <param name="TextDocument">A document of the plan.</param>
/// <param name="Kind"><c>rig</c>, <c>feed</c> or <c>clocks</c>.</param>
internal sealed record DrawingParams(TextDocumentIdentifier TextDocument, string Kind)
{
    /// <summary>Where the cursor is: what belongs to it is lit, and the feed there is the one whose way is drawn.</summary>
    public Position? Position { get; init; }

    /// <summary>The feed whose way is drawn where none is at the cursor.</summary>
    public string? Of { get; init; }

    /// <summary>Only what holds in this act; one that the plan does not have is passed over.</summary>
    public string? Act { get; init; }

    /// <summary>As many errors of text and names as the picture has that the client shows: with more, it is told why and keeps that picture.</summary>
    public int? MostErrors { get; init; }
}

/// <summary>A drawing, or why there is none.</summary>
/// <param name="Plan">The plan's root document.</param>
/// <param name="Kind">As asked.</param>
/// <param name="Errors">How many errors of text and names the plan has.</param>
/// <param name="Acts">The plan's acts.</param>
internal sealed record DrawingResult(string Plan, string Kind, int Errors, DrawingAct[] Acts)
{
    /// <summary>The version of the document that was asked about; null if it is not open.</summary>
    public int? Version { get; init; }

    /// <summary>The feed whose way it is.</summary>
    public string? Of { get; init; }

    /// <summary>The act that it is of; null for all.</summary>
    public string? Act { get; init; }

    public string? Title { get; init; }

    /// <summary>The picture: <c>box-</c> and <c>line-</c> with a number are the ids of its things. Null where there is none.</summary>
    public string? Svg { get; init; }

    /// <summary>Its style sheet, on light ground; on dark within an element of the class <c>on-dark</c>.</summary>
    public string? Style { get; init; }

    /// <summary>Where its things are written.</summary>
    public DrawnThing[]? Things { get; init; }

    /// <summary>What belongs to the cursor.</summary>
    public LitThings? Lit { get; init; }

    /// <summary>Why there is no picture.</summary>
    public string? Reason { get; init; }

    /// <summary>Where that is.</summary>
    public Location? ReasonAt { get; init; }
}

internal sealed record DrawingAct(string Name, string Title);

internal sealed record DrawnThing(string Id, string Uri, Range Range);

/// <summary>What is lit in a drawing.</summary>
/// <param name="Ids">The things.</param>
/// <param name="Words">What they are; empty for nothing.</param>
internal sealed record LitThings(string[] Ids, string Words)
{
    /// <summary>The version of the document that was asked about; null if it is not open.</summary>
    public int? Version { get; init; }

    /// <summary>The feed whose way the drawing shows; null for drawings of the rig and the clocks.</summary>
    public string? Of { get; init; }
}

/// <summary>A drawing as a file.</summary>
/// <param name="Svg">The file that <c>patchlang draw</c> writes, for light and dark grounds.</param>
/// <param name="ForPaper">The same on light ground alone, to make pixels of.</param>
internal sealed record DrawingFileResult(string Svg, string ForPaper);
