using Trace.Core.Lots;
using Trace.Storage;
using Trace.Tests.Support;
using Xunit;

namespace Trace.Tests.Storage;

public class SnapshotTests
{
    [Fact]
    public async Task A_snapshot_is_found_only_by_the_version_that_kept_it()
    {
        using var folder = new TempFolder();
        using var store = folder.Open();
        await store.Add("S1", 3);
        Assert.Null(store.Find("S1", "v1"));
        store.Keep("S1", "v1", 2, new byte[] { 1, 2, 3 });
        Assert.Equal([1, 2, 3], store.Find("S1", "v1")!.Value.ToArray());
        Assert.Null(store.Find("S1", "v2"));
        store.Keep("S1", "v2", 3, new byte[] { 4 });
        Assert.Equal([4], store.Find("S1", "v2")!.Value.ToArray());
        Assert.Throws<ArgumentOutOfRangeException>(() => store.Keep("S1", "v2", 4, new byte[] { 4 }));
    }

    [Fact]
    public async Task A_snapshot_with_any_changed_or_missing_byte_is_as_if_there_were_none()
    {
        using var folder = new TempFolder();
        var log = new List<string>();
        using var store = folder.Open(log);
        await store.Add("S1", 3);
        store.Keep("S1", "v1", 2, "some state"u8.ToArray());
        var path = folder.File("snapshots/S1.snapshot");
        var sound = await File.ReadAllBytesAsync(path, TestContext.Current.CancellationToken);
        for (var at = 0; at < sound.Length; at++)
        {
            var changed = (byte[])sound.Clone();
            changed[at] ^= 1;
            await File.WriteAllBytesAsync(path, changed, TestContext.Current.CancellationToken);
            Assert.Null(store.Find("S1", "v1"));
            await File.WriteAllBytesAsync(path, sound[..at], TestContext.Current.CancellationToken);
            Assert.Null(store.Find("S1", "v1"));
        }

        Assert.Equal(2 * sound.Length, log.Count(line => line.StartsWith("Snapshot S1.snapshot is not used", StringComparison.Ordinal)));
    }

    [Fact]
    public async Task A_snapshot_of_a_journal_that_was_replaced_is_not_used()
    {
        using var folder = new TempFolder();
        using (var store = folder.Open())
        {
            await store.Add("S1", 3);
            store.Keep("S1", "v1", 2, "some state"u8.ToArray());
        }

        File.Delete(folder.Site);
        File.Delete(folder.Mark);
        using var again = folder.Open();
        Assert.Null(again.Find("S1", "v1"));
        await again.AppendAsync(new Core.Journal.EntryBatch("S1", 0, [Some.Entry(7), Some.Entry(8)]));
        Assert.Null(again.Find("S1", "v1"));
    }

    [Fact]
    public async Task A_plant_goes_on_from_its_snapshot_and_folds_anew_when_a_correction_came_after_it()
    {
        var plant = await Plant.Create();
        var chance = new Random(5);
        var people = new Simulation.RandomPlant(plant, chance);
        await plant.Receive();
        for (var step = 0; step < 300; step++) await people.Step();
        var snapshots = new KeptSnapshot(plant.State.ToSnapshot());
        var corrections = plant.State.Corrections.Count;
        for (var step = 0; step < 200; step++)
        {
            await people.Step();
            if (step % 20 != 0) continue;
            var loaded = plant.Load(snapshots);
            Assert.Equal(StateText.Of(plant.State), StateText.Of(loaded));
        }

        Assert.True(plant.State.Corrections.Count > corrections);
        Assert.True(snapshots.Asked > 5);
        snapshots.Bytes = [1, 2, 3];
        Assert.Equal(StateText.Of(plant.State), StateText.Of(plant.Load(snapshots)));
    }

    private sealed class KeptSnapshot(byte[] bytes) : Core.Journal.ISnapshots
    {
        public byte[] Bytes { get; set; } = bytes;

        public int Asked { get; private set; }

        public ReadOnlyMemory<byte>? Find(string stream, string version)
        {
            Asked++;
            return Bytes;
        }

        public void Keep(string stream, string version, long seq, ReadOnlyMemory<byte> snapshot) => Bytes = snapshot.ToArray();
    }
}
