using System.Collections.Immutable;
using PatchLang.Findings;

namespace PatchLang.Outputs.Drawings;

/// <summary>
/// A picture of a plan, laid out: boxes and lines with what is written on them, each with its place in the plan. Measures are in
/// pixels at the size it is meant to be read; y grows downwards. Writers turn it into SVG, HTML, DOT or GraphML.
/// </summary>
public sealed class Drawing
{
    /// <summary>What the picture is of, in a line.</summary>
    public required string Title { get; init; }

    /// <summary>What it shows, in a sentence or two, for who can't see it.</summary>
    public required string Description { get; init; }

    /// <summary>What a reader must know beside it, such as that the plan has errors; one sentence each.</summary>
    public ImmutableArray<string> Notes { get; init; } = [];

    /// <summary>The width of boxes and lines together, with the room around them.</summary>
    public int Width { get; init; }

    /// <summary>Their height.</summary>
    public int Height { get; init; }

    /// <summary>The boxes, in the order of the plan.</summary>
    public ImmutableArray<DrawnBox> Boxes { get; init; } = [];

    /// <summary>The lines, in the order of the plan.</summary>
    public ImmutableArray<DrawnLine> Lines { get; init; } = [];

    /// <summary>The formats that lines are drawn by, in the order in which they come up.</summary>
    public ImmutableArray<FormatStyle> Formats { get; init; } = [];

    /// <summary>The feeds that can be followed through the picture, in the order of the plan.</summary>
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

    /// <summary>What the plan calls it.</summary>
    public required string Name { get; init; }

    /// <summary>What people call it.</summary>
    public required string Title { get; init; }

    /// <summary>What stands below its title, a line each.</summary>
    public ImmutableArray<string> Details { get; init; } = [];

    /// <summary>Whether it is set off: where time comes from, or a point on the way that was asked for.</summary>
    public bool IsStrong { get; init; }

    /// <summary>The codes of what was found about it.</summary>
    public ImmutableArray<string> Marks { get; init; } = [];

    /// <summary>What whoever had it drawn wants seen about it; null for nothing.</summary>
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

    /// <summary>The cards in it, from above.</summary>
    public ImmutableArray<DrawnCard> Cards { get; init; } = [];

    /// <summary>Where lines start and end on it, and sound comes in from outside or leaves.</summary>
    public ImmutableArray<DrawnPort> Ports { get; init; } = [];
}

/// <summary>A card, drawn inside its host.</summary>
/// <param name="Name">What the plan calls it.</param>
/// <param name="Title">What is written on it.</param>
/// <param name="Y">Its upper edge.</param>
/// <param name="Height">Its height.</param>
public sealed record DrawnCard(string Name, string Title, int Y, int Height)
{
    /// <summary>What whoever had it drawn wants seen about it; null for nothing.</summary>
    public Highlight? Highlight { get; init; }
}

/// <summary>What is beyond a port.</summary>
public enum Beyond
{
    /// <summary>A line of the drawing.</summary>
    Line,

    /// <summary>The world that sound comes from: a player, a singer, a file.</summary>
    Source,

    /// <summary>Who hears it.</summary>
    Listener,
}

/// <summary>A row of sockets of one sort at the edge of a box.</summary>
/// <param name="Name">What the plan calls them: <c>rack.mic[1..12]</c>.</param>
/// <param name="Text">What is written beside it: the same without the unit.</param>
/// <param name="IsOnRight">Whether it is on the right edge, where signals leave.</param>
/// <param name="Y">How high it is.</param>
/// <param name="Beyond">What is beyond it.</param>
public sealed record DrawnPort(string Name, string Text, bool IsOnRight, int Y, Beyond Beyond)
{
    /// <summary>What whoever had it drawn wants seen about them; null for nothing.</summary>
    public Highlight? Highlight { get; init; }
}

/// <summary>A corner, a start or an end of a line.</summary>
public readonly record struct DrawnPoint(int X, int Y);

/// <summary>A line: cables alike, a unit's join of a network, a hop, or a clock's following.</summary>
public sealed class DrawnLine
{
    /// <summary>Its number among the drawing's lines.</summary>
    public required int Number { get; init; }

    /// <summary>The number of the box it starts at.</summary>
    public required int FromBox { get; init; }

    /// <summary>The number of the box it ends at.</summary>
    public required int ToBox { get; init; }

    /// <summary>What the plan calls the sockets it starts at.</summary>
    public required string From { get; init; }

    /// <summary>What the plan calls the sockets it ends at.</summary>
    public required string To { get; init; }

    /// <summary>What is written over it; empty for nothing.</summary>
    public string Text { get; init; } = "";

    /// <summary>What is written under it; empty for nothing.</summary>
    public string Detail { get; init; } = "";

    /// <summary>Whether that is written where it ends, and not where it starts.</summary>
    public bool IsToldAtEnd { get; init; }

    /// <summary>How much of it is kept straight and free beside its box for that, in pixels.</summary>
    public int Room { get; init; }

    /// <summary>How it is drawn.</summary>
    public required FormatStyle Style { get; init; }

    /// <summary>Whether signals go both ways.</summary>
    public bool IsTwoWay { get; init; }

    /// <summary>Whether it is set off.</summary>
    public bool IsStrong { get; init; }

    /// <summary>Whether no statement declares the cable, so that its length is unknown.</summary>
    public bool IsImplied { get; init; }

    /// <summary>Its corners from start to end; where it leaves another line, from there.</summary>
    public ImmutableArray<DrawnPoint> Path { get; init; } = [];

    /// <summary>Whether it leaves another line at its first point.</summary>
    public bool Branches { get; init; }

    /// <summary>The codes of what was found about it.</summary>
    public ImmutableArray<string> Marks { get; init; } = [];

    /// <summary>What whoever had it drawn wants seen about it; null for nothing.</summary>
    public Highlight? Highlight { get; init; }

    /// <summary>Where it is written.</summary>
    public Place? Place { get; init; }

    /// <summary>The numbers of the feeds that go over it.</summary>
    public ImmutableArray<int> Feeds { get; init; } = [];
}

/// <summary>A feed that can be followed through the picture.</summary>
/// <param name="Number">Its number among the drawing's feeds.</param>
/// <param name="Name">What the plan calls it.</param>
/// <param name="Title">What people call it.</param>
/// <param name="Lines">The numbers of all lines on its way, from its sources to who hears it.</param>
/// <param name="Place">Where it is declared.</param>
public sealed record DrawnFeed(int Number, string Name, string Title, ImmutableArray<int> Lines, Place Place);
