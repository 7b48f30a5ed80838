using System.Collections.Immutable;
using PatchLang.Findings;

namespace PatchLang.Outputs.Drawings;

/// <summary>
/// A laid-out picture of a plan: boxes and lines with their text, each with its place in the plan. Measures are in pixels at normal size;
/// y grows downwards. Writers turn it into SVG, HTML, DOT or GraphML.
/// </summary>
public sealed class Drawing
{
    /// <summary>What the picture shows, in one line.</summary>
    public required string Title { get; init; }

    /// <summary>What it shows, in a sentence or two, for readers who can't see it.</summary>
    public required string Description { get; init; }

    /// <summary>What a reader must know, such as that the plan has errors; one sentence each.</summary>
    public ImmutableArray<string> Notes { get; init; } = [];

    /// <summary>The width of the whole, with its margins.</summary>
    public int Width { get; init; }

    /// <summary>The height of the whole, with its margins.</summary>
    public int Height { get; init; }

    /// <summary>The boxes, in the order of the plan.</summary>
    public ImmutableArray<DrawnBox> Boxes { get; init; } = [];

    /// <summary>The lines, in the order of the plan.</summary>
    public ImmutableArray<DrawnLine> Lines { get; init; } = [];

    /// <summary>The formats of the lines, in order of appearance.</summary>
    public ImmutableArray<FormatStyle> Formats { get; init; } = [];

    /// <summary>The feeds that can be traced in the picture, in the order of the plan.</summary>
    public ImmutableArray<DrawnFeed> Feeds { get; init; } = [];
}

/// <summary>What a box stands for.</summary>
public enum BoxSort
{
    /// <summary>A unit, cards included.</summary>
    Unit,

    /// <summary>A switched network.</summary>
    Network,

    /// <summary>A point that a signal passes.</summary>
    Point,

    /// <summary>A clock.</summary>
    Clock,
}

/// <summary>A box.</summary>
public sealed class DrawnBox
{
    /// <summary>Its number among the drawing's boxes.</summary>
    public required int Number { get; init; }

    /// <summary>What it stands for.</summary>
    public required BoxSort Sort { get; init; }

    /// <summary>Its name in the plan.</summary>
    public required string Name { get; init; }

    /// <summary>Its title for people.</summary>
    public required string Title { get; init; }

    /// <summary>The lines of text below its title.</summary>
    public ImmutableArray<string> Details { get; init; } = [];

    /// <summary>Whether it is emphasized: a root clock, or a point of the way that was asked for.</summary>
    public bool IsStrong { get; init; }

    /// <summary>The codes of findings about it.</summary>
    public ImmutableArray<string> Marks { get; init; } = [];

    /// <summary>Its highlight, as the caller asked for; null for none.</summary>
    public Highlight? Highlight { get; init; }

    /// <summary>Where it is declared.</summary>
    public Place? Place { get; init; }

    /// <summary>The left edge.</summary>
    public int X { get; init; }

    /// <summary>The upper edge.</summary>
    public int Y { get; init; }

    /// <summary>The width.</summary>
    public int Width { get; init; }

    /// <summary>The height.</summary>
    public int Height { get; init; }

    /// <summary>The cards in it, from top to bottom.</summary>
    public ImmutableArray<DrawnCard> Cards { get; init; } = [];

    /// <summary>Where lines start and end on it, and where sound enters or leaves the rig.</summary>
    public ImmutableArray<DrawnPort> Ports { get; init; } = [];
}

/// <summary>A card, drawn inside its host.</summary>
/// <param name="Name">Its name in the plan.</param>
/// <param name="Title">The text on it.</param>
/// <param name="Y">Its upper edge.</param>
/// <param name="Height">Its height.</param>
public sealed record DrawnCard(string Name, string Title, int Y, int Height)
{
    /// <summary>Its highlight, as the caller asked for; null for none.</summary>
    public Highlight? Highlight { get; init; }
}

/// <summary>What is beyond a port.</summary>
public enum Beyond
{
    /// <summary>A line of the drawing.</summary>
    Line,

    /// <summary>A source outside the rig: an instrument, a singer, a file.</summary>
    Source,

    /// <summary>A listener.</summary>
    Listener,
}

/// <summary>A row of sockets of one kind at the edge of a box.</summary>
/// <param name="Name">Their name in the plan: <c>rack.mic[1..12]</c>.</param>
/// <param name="Text">The text beside it: the name without the unit.</param>
/// <param name="IsOnRight">Whether it is on the right edge, where signals leave.</param>
/// <param name="Y">Its vertical position.</param>
/// <param name="Beyond">What is beyond it.</param>
public sealed record DrawnPort(string Name, string Text, bool IsOnRight, int Y, Beyond Beyond)
{
    /// <summary>Its highlight, as the caller asked for; null for none.</summary>
    public Highlight? Highlight { get; init; }
}

/// <summary>A corner, a start or an end of a line.</summary>
public readonly record struct DrawnPoint(int X, int Y);

/// <summary>A line: like cables, a unit's connection to a network, a hop, or the link from a clock to a follower.</summary>
public sealed class DrawnLine
{
    /// <summary>Its number among the drawing's lines.</summary>
    public required int Number { get; init; }

    /// <summary>The number of the box it starts at.</summary>
    public required int FromBox { get; init; }

    /// <summary>The number of the box it ends at.</summary>
    public required int ToBox { get; init; }

    /// <summary>The plan's name for the sockets it starts at.</summary>
    public required string From { get; init; }

    /// <summary>The plan's name for the sockets it ends at.</summary>
    public required string To { get; init; }

    /// <summary>The text above it; empty for none.</summary>
    public string Text { get; init; } = "";

    /// <summary>The text below it; empty for none.</summary>
    public string Detail { get; init; } = "";

    /// <summary>Whether the text is at its end rather than at its start.</summary>
    public bool IsToldAtEnd { get; init; }

    /// <summary>How much of it is kept straight and clear beside its box for the text, in pixels.</summary>
    public int Room { get; init; }

    /// <summary>How it is drawn.</summary>
    public required FormatStyle Style { get; init; }

    /// <summary>Whether signals go both ways.</summary>
    public bool IsTwoWay { get; init; }

    /// <summary>Whether it is emphasized.</summary>
    public bool IsStrong { get; init; }

    /// <summary>Whether no statement declares the cable, so that its length is unknown.</summary>
    public bool IsImplied { get; init; }

    /// <summary>Its corners from start to end; a branch starts where it leaves the other line.</summary>
    public ImmutableArray<DrawnPoint> Path { get; init; } = [];

    /// <summary>Whether it is a branch, which starts on another line.</summary>
    public bool Branches { get; init; }

    /// <summary>The codes of findings about it.</summary>
    public ImmutableArray<string> Marks { get; init; } = [];

    /// <summary>Its highlight, as the caller asked for; null for none.</summary>
    public Highlight? Highlight { get; init; }

    /// <summary>Where it is written.</summary>
    public Place? Place { get; init; }

    /// <summary>The numbers of the feeds it carries.</summary>
    public ImmutableArray<int> Feeds { get; init; } = [];
}

/// <summary>A feed that can be traced in the picture.</summary>
/// <param name="Number">Its number among the drawing's feeds.</param>
/// <param name="Name">Its name in the plan.</param>
/// <param name="Title">Its title for people.</param>
/// <param name="Lines">The numbers of all lines on its way, from its sources to its listeners.</param>
/// <param name="Place">Where it is declared.</param>
public sealed record DrawnFeed(int Number, string Name, string Title, ImmutableArray<int> Lines, Place Place);
