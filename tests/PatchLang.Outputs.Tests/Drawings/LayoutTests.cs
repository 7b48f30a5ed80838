using CsCheck;
using FluentAssertions;
using PatchLang.Outputs.Drawings.Layout;
using Xunit;

namespace PatchLang.Outputs.Tests.Drawings;

/// <summary>What holds of every picture, whatever is in it.</summary>
public sealed class LayoutTests
{
    [Fact]
    public void No_two_boxes_overlap() => ForAll((sketch, _) =>
    {
        for (var i = 0; i < sketch.Boxes.Count; i++)
            for (var j = 0; j < i; j++)
                Overlap(sketch.Boxes[i], sketch.Boxes[j]).Should().BeFalse();
    });

    [Fact]
    public void No_line_runs_through_a_box() => ForAll((sketch, _) =>
    {
        foreach (var (from, to) in Pieces(sketch))
            foreach (var box in sketch.Boxes)
                (Math.Max(from.X, to.X) > box.X && Math.Min(from.X, to.X) < box.Right && Math.Max(from.Y, to.Y) > box.Y && Math.Min(from.Y, to.Y) < box.Bottom)
                    .Should().BeFalse();
    });

    [Fact]
    public void Lines_keep_right_angles() => ForAll((sketch, _) =>
    {
        foreach (var (from, to) in Pieces(sketch)) (from.X == to.X || from.Y == to.Y).Should().BeTrue();
    });

    [Fact]
    public void Every_line_arrives_and_starts_at_its_port_or_on_its_own_net() => ForAll((sketch, _) =>
    {
        foreach (var net in sketch.Nets)
        {
            net.Paths.Should().HaveCount(net.To.Count);
            net.Paths[0][0].Should().Be(new Spot(net.From.X, net.From.Y));
            for (var i = 0; i < net.To.Count; i++)
            {
                net.Paths[i][^1].Should().Be(new Spot(net.To[i].X, net.To[i].Y));
                var drawn = net.Paths.Take(i).SelectMany(Pairs).ToList();
                if (i > 0) (net.Paths[i][0] == net.Paths[0][0] || drawn.Exists(d => IsOn(net.Paths[i][0], d.From, d.To))).Should().BeTrue();
            }
        }
    });

    [Fact]
    public void Two_nets_never_lie_on_each_other() => ForAll((sketch, _) =>
    {
        var pieces = sketch.Nets.SelectMany((n, i) => n.Paths.SelectMany(Pairs).Select(p => (Net: i, p.From, p.To))).ToList();
        for (var i = 0; i < pieces.Count; i++)
            for (var j = 0; j < i; j++)
                if (pieces[i].Net != pieces[j].Net) Shared(pieces[i].From, pieces[i].To, pieces[j].From, pieces[j].To).Should().Be(0);
    });

    [Fact]
    public void Ports_stay_in_their_order_and_on_their_box() => ForAll((sketch, _) =>
    {
        foreach (var box in sketch.Boxes)
            foreach (var flank in (Flank[])[Flank.Left, Flank.Right])
            {
                var offsets = box.Ports.Where(p => p.Flank == flank).Select(p => p.Offset).ToList();
                offsets.Should().OnlyHaveUniqueItems();
                offsets.TrueForAll(o => o > 0 && o < box.Height).Should().BeTrue();
                if (!box.HasFreePorts) offsets.Should().BeInAscendingOrder();
            }
    });

    [Fact]
    public void All_of_it_lies_inside_the_size_that_is_told() => ForAll((sketch, size) =>
    {
        foreach (var box in sketch.Boxes) (box.X >= 0 && box.Y >= 0 && box.Right <= size.Width && box.Bottom <= size.Height).Should().BeTrue();
        foreach (var spot in sketch.Nets.SelectMany(n => n.Paths).SelectMany(p => p)) (spot.X >= 0 && spot.Y >= 0 && spot.X <= size.Width && spot.Y <= size.Height).Should().BeTrue();
    });

    [Fact]
    public void The_same_boxes_and_lines_give_the_same_picture() => RandomSketch.Numbers.Sample(numbers =>
    {
        var (one, other) = (RandomSketch.Of(numbers), RandomSketch.Of(numbers));

        LayeredLayout.Apply(one.Boxes, one.Nets, new Spacing()).Should().Be(LayeredLayout.Apply(other.Boxes, other.Nets, new Spacing()));

        one.Boxes.Select(b => (b.X, b.Y, b.Width, b.Height)).Should().Equal(other.Boxes.Select(b => (b.X, b.Y, b.Width, b.Height)));
        one.Nets.SelectMany(n => n.Paths).SelectMany(p => p).Should().Equal(other.Nets.SelectMany(n => n.Paths).SelectMany(p => p));
    }, iter: 100);

    [Fact]
    public void A_chain_is_one_straight_line()
    {
        var boxes = Enumerable.Range(0, 5).Select(_ => new Box(80, 60)).ToList();
        var nets = new List<Net>();
        for (var i = 1; i < boxes.Count; i++) nets.Add(new Net(boxes[i - 1].Add(Flank.Right, 30), [boxes[i].Add(Flank.Left, 30)]));

        LayeredLayout.Apply(boxes, nets, new Spacing());

        boxes.Select(b => b.X).Should().BeInAscendingOrder();
        nets.Should().OnlyContain(n => n.Paths[0].Length == 2);
    }

    [Fact]
    public void Two_lines_that_must_change_places_cross_once_and_never_lie_on_each_other()
    {
        var (left, right) = (new Box(80, 120), new Box(80, 120));
        var (upper, lower) = (left.Add(Flank.Right, 40), left.Add(Flank.Right, 80));
        var (high, low) = (right.Add(Flank.Left, 40), right.Add(Flank.Left, 80));
        Net[] nets = [new(upper, [low]), new(lower, [high])];

        LayeredLayout.Apply([left, right], nets, new Spacing());

        var crossings = Pairs(nets[0].Paths[0]).Sum(a => Pairs(nets[1].Paths[0]).Count(b => Cross(a, b)));
        crossings.Should().Be(1);
    }

    [Fact]
    public void A_line_that_goes_back_goes_around()
    {
        var (first, second) = (new Box(80, 80), new Box(80, 80));
        var forth = new Net(first.Add(Flank.Right, 40), [second.Add(Flank.Left, 40)], weight: 10);
        var back = new Net(second.Add(Flank.Right, 60), [first.Add(Flank.Left, 60)]);

        LayeredLayout.Apply([first, second], [forth, back], new Spacing());

        first.X.Should().BeLessThan(second.X);
        back.Paths[0].Min(s => s.X).Should().BeLessThan(first.X);
        back.Paths[0].Max(s => s.X).Should().BeGreaterThan(second.Right);
    }

    /// <summary>More than any rig has: what takes the square of it, or more, would not come to an end in a test.</summary>
    [Fact]
    public void Thousands_that_hang_on_one_box_stand_one_above_the_other_in_their_order_and_are_told()
    {
        var hub = new Box(120, 60) { HasFreePorts = true, FreeFrom = 40 };
        var boxes = new List<Box> { hub };
        var nets = new List<Net>();
        for (var i = 0; i < 4000; i++)
        {
            var box = new Box(80, 60);
            boxes.Add(box);
            nets.Add(new Net(box.Add(Flank.Right, 30), [hub.Add(Flank.Left, 40 + 30 * i)]));
        }

        var (_, height, crowd) = LayeredLayout.Apply(boxes, nets, new Spacing());

        crowd.Should().Be(new Crowd(4000, 4000));
        crowd.IsTooMuch.Should().BeTrue();
        Enumerable.Range(2, boxes.Count - 2).All(i => boxes[i].Y >= boxes[i - 1].Bottom + 26).Should().BeTrue();
        boxes[^1].Bottom.Should().BeLessThan(height);
        nets.TrueForAll(n => n.Paths[0].Length >= 2).Should().BeTrue();
    }

    [Fact]
    public void Thousands_of_lines_that_all_cross_have_a_track_each_where_they_would_meet()
    {
        const int count = 1500;
        var (left, right) = (new Box(80, 40 + 30 * count), new Box(80, 40 + 30 * count));
        var nets = new List<Net>();
        for (var i = 0; i < count; i++) nets.Add(new Net(left.Add(Flank.Right, 40 + 30 * i), [right.Add(Flank.Left, 40 + 30 * (count - 1 - i))]));

        LayeredLayout.Apply([left, right], nets, new Spacing()).Crowd.Should().Be(new Crowd(1, count));

        var upright = nets.SelectMany(n => Pairs(n.Paths[0])).Where(p => p.From.X == p.To.X).Select(p => (p.From.X, Top: Math.Min(p.From.Y, p.To.Y), Bottom: Math.Max(p.From.Y, p.To.Y)));
        foreach (var track in upright.GroupBy(p => p.X))
        {
            var pieces = track.OrderBy(p => p.Top).ToList();
            Enumerable.Range(1, pieces.Count - 1).All(i => pieces[i].Top > pieces[i - 1].Bottom).Should().BeTrue();
        }
    }

    [Fact]
    public void What_can_be_followed_is_not_told() => ForAll((sketch, _) =>
        LayeredLayout.Apply(sketch.Boxes, sketch.Nets, new Spacing()).Crowd.IsTooMuch.Should().BeFalse());

    /// <summary>Against the middle of a sorted list.</summary>
    [Fact]
    public void Sets_that_are_put_together_have_the_middle_of_all_their_places() =>
        Gen.Select(Gen.Int[-50, 50], Gen.Int[1, 18]).Array[1, 6].Array[1, 12].Sample(sets =>
        {
            var trees = new WeightTrees(sets.SelectMany(s => s).Select(w => w.Item1));
            var (all, tree) = (new List<int>(), 0);
            foreach (var set in sets)
            {
                var its = trees.Of(set);
                trees.Median(its).Should().Be(Middle([.. set.SelectMany(w => Enumerable.Repeat(w.Item1, w.Item2))]));
                tree = trees.Merged(tree, its);
                all.AddRange(set.SelectMany(w => Enumerable.Repeat(w.Item1, w.Item2)));
                trees.Median(tree).Should().Be(Middle(all));
            }

            static int Middle(List<int> places) => places.Order().ElementAt((places.Count - 1) / 2);
        }, iter: 500);

    private static void ForAll(Action<RandomSketch, (int Width, int Height)> holds) => RandomSketch.Numbers.Sample(numbers =>
    {
        var sketch = RandomSketch.Of(numbers);
        var (width, height, _) = LayeredLayout.Apply(sketch.Boxes, sketch.Nets, new Spacing());
        holds(sketch, (width, height));
    }, iter: 150);

    private static bool Overlap(Box one, Box other) => one.X < other.Right && other.X < one.Right && one.Y < other.Bottom && other.Y < one.Bottom;

    private static IEnumerable<(Spot From, Spot To)> Pieces(RandomSketch sketch) => sketch.Nets.SelectMany(n => n.Paths).SelectMany(Pairs);

    private static IEnumerable<(Spot From, Spot To)> Pairs(Spot[] path) => path.Zip(path.Skip(1));

    private static bool IsOn(Spot spot, Spot from, Spot to) =>
        spot.X >= Math.Min(from.X, to.X) && spot.X <= Math.Max(from.X, to.X) && spot.Y >= Math.Min(from.Y, to.Y) && spot.Y <= Math.Max(from.Y, to.Y);

    private static bool Cross((Spot From, Spot To) one, (Spot From, Spot To) other)
    {
        var (flat, upright) = one.From.Y == one.To.Y ? (one, other) : (other, one);
        return flat.From.Y == flat.To.Y && upright.From.X == upright.To.X
            && upright.From.X > Math.Min(flat.From.X, flat.To.X) && upright.From.X < Math.Max(flat.From.X, flat.To.X)
            && flat.From.Y > Math.Min(upright.From.Y, upright.To.Y) && flat.From.Y < Math.Max(upright.From.Y, upright.To.Y);
    }

    /// <summary>How far two pieces run on each other.</summary>
    private static int Shared(Spot a, Spot b, Spot c, Spot d)
    {
        if (a.Y == b.Y && c.Y == d.Y && a.Y == c.Y) return Math.Max(0, Math.Min(Math.Max(a.X, b.X), Math.Max(c.X, d.X)) - Math.Max(Math.Min(a.X, b.X), Math.Min(c.X, d.X)));
        if (a.X == b.X && c.X == d.X && a.X == c.X) return Math.Max(0, Math.Min(Math.Max(a.Y, b.Y), Math.Max(c.Y, d.Y)) - Math.Max(Math.Min(a.Y, b.Y), Math.Min(c.Y, d.Y)));
        return 0;
    }
}
